// The page of `lastwright report` before anything is filled in. Its sources are in cli/report/page/ and are
// built into the program.
#pragma once

#include <map>
#include <string>
#include <string_view>

namespace lastwright {

std::string_view report_frame();        // report.html, with slots
std::string_view report_look();         // report.css
std::string_view report_nest();         // nest.js: the drawing of the pieces
std::string_view report_page_script();  // page.js: choosers, units, light and dark

// Puts texts into the slots of a frame: "<!--slot:NAME-->". What is put in is not looked at again, so that a
// text cannot open a slot. A bug when a slot of the frame has no text.
std::string filled(std::string_view frame, const std::map<std::string, std::string, std::less<>>& texts);

// For a script element of type application/json: no byte of it can end the element or begin another.
std::string json_in_html(const std::string& json);

// "sha256-..." of a script as a content security policy names it: the browser runs no other.
std::string script_digest(std::string_view script);

}  // namespace lastwright
