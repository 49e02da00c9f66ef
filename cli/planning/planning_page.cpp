#include "cli/planning/planning_page.hpp"

#include <fmt/format.h>

#include "cli/report/page_foot.hpp"
#include "geometry/io/paper/svg_canvas.hpp"

namespace lastwright {

namespace {

constexpr std::string_view kLook = R"(
:root{color-scheme:light dark;--ink:#1b1b1b;--ground:#fff;--soft:#555;--line:#d5d5d5;--head:#999;--bad:#a3001e;--mark:#d55e00;--care:#fff6ef;--sheet:#fff}
@media screen and (prefers-color-scheme:dark){:root{--ink:#e8e8e8;--ground:#16191c;--soft:#aab0b6;--line:#3a4046;--head:#6b737b;--bad:#ff7b92;--mark:#ff9a4d;--care:#2e221a;--sheet:#dfe2e5}}
body{font:14px/1.45 system-ui,sans-serif;color:var(--ink);background:var(--ground);margin:24px auto;max-width:1280px;padding:0 16px}
h1{font-size:24px;margin:0}h2{font-size:17px;margin:28px 0 8px}p.lead{color:var(--soft);margin:2px 0 14px}p{max-width:80ch}h1,p,td,th{overflow-wrap:break-word}
.facts{display:flex;flex-wrap:wrap;gap:10px;margin:14px 0}
.fact{border:1px solid var(--line);border-radius:6px;padding:8px 14px}.fact b{display:block;font-size:20px}
.wide{overflow-x:auto}table{border-collapse:collapse;font-variant-numeric:tabular-nums}
th,td{padding:3px 12px 3px 0;border-bottom:1px solid var(--line);text-align:left;vertical-align:top;font-weight:400}
thead th{color:var(--soft);font-weight:600;vertical-align:bottom;border-bottom:1px solid var(--head)}.n{text-align:right}
@media screen{td.long{min-width:18rem}}.bad{color:var(--bad);font-weight:600}.mind{border-left:5px solid var(--mark);background:var(--care);padding:8px 14px;margin:12px 0}
.cards{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(250px,100%),1fr));gap:10px}svg{background:var(--sheet);max-width:100%}
.card{border:1px solid var(--line);border-radius:6px;padding:8px 10px;break-inside:avoid}.card h3{font-size:14px;margin:0}
.card svg{display:block;width:100%;height:190px;margin:6px 0}.card p{margin:2px 0;font-size:12px}
@media (max-width:40rem){body{margin:12px auto;padding:0 10px;font-size:13px}th,td{padding:3px 8px 3px 0}.facts{gap:6px}.fact{padding:5px 9px}.fact b{font-size:17px}}
@page{size:A4 landscape;margin:11mm 11mm 14mm}
@media print{body{margin:0;padding:0;max-width:none;font-size:10.5px}tr,.fact{break-inside:avoid}.wide{overflow:visible}h2{break-after:avoid}.mind,.wide:not(:has(tbody tr:nth-child(26))){break-inside:avoid}thead{display:table-header-group}}
)";

}  // namespace

std::string planning_page(std::string_view title, std::string_view lead, std::string_view body) {
  return fmt::format(
      "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\n"
      "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
      "'unsafe-inline'\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{0}</title>\n"
      "<style>{1}{4}</style></head><body>\n<h1>{0}</h1>\n<p class=\"lead\">{2}</p>\n{3}\n</body></html>\n",
      xml_escaped(title), kLook, xml_escaped(lead), body, page_foot_style(title));
}

std::string fact_boxes(const std::vector<std::pair<std::string, std::string>>& facts) {
  std::string html = "<div class=\"facts\">";
  for (const auto& [what, value] : facts) {
    html += fmt::format("<div class=\"fact\">{}<b>{}</b></div>", xml_escaped(what), xml_escaped(value));
  }
  return html + "</div>\n";
}

std::string caution_box(std::string_view text) {
  return fmt::format("<p class=\"mind\">{}</p>\n", xml_escaped(text));
}

}  // namespace lastwright
