#include "cli/planning/planning_page.hpp"

#include <fmt/format.h>

#include "cli/report/page_foot.hpp"
#include "geometry/io/svg_canvas.hpp"

namespace lastwright {

namespace {

constexpr std::string_view kLook = R"(
body{font:14px/1.45 system-ui,sans-serif;color:#1b1b1b;background:#fff;margin:24px auto;max-width:1280px;padding:0 16px}
h1{font-size:24px;margin:0}h2{font-size:17px;margin:28px 0 8px}p.lead{color:#555;margin:2px 0 14px}p{max-width:80ch}
.facts{display:flex;flex-wrap:wrap;gap:10px;margin:14px 0}
.fact{border:1px solid #d5d5d5;border-radius:6px;padding:8px 14px}.fact b{display:block;font-size:20px}
.wide{overflow-x:auto}table{border-collapse:collapse;font-variant-numeric:tabular-nums}
th,td{padding:3px 12px 3px 0;border-bottom:1px solid #e2e2e2;text-align:left;vertical-align:top;font-weight:400}
thead th{color:#555;font-weight:600;vertical-align:bottom;border-bottom:1px solid #999}.n{text-align:right}
.bad{color:#a3001e;font-weight:600}.mind{border-left:5px solid #d55e00;background:#fff6ef;padding:8px 14px;margin:12px 0}
.cards{display:grid;grid-template-columns:repeat(auto-fill,minmax(250px,1fr));gap:10px}
.card{border:1px solid #d5d5d5;border-radius:6px;padding:8px 10px;break-inside:avoid}.card h3{font-size:14px;margin:0}
.card svg{display:block;width:100%;height:190px;margin:6px 0}.card p{margin:2px 0;font-size:12px}
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
