#include "cli/planning/barcode.hpp"

#include <fmt/format.h>
#include <zint.h>

#include <algorithm>
#include <memory>

namespace lastwright {

Result<std::vector<Box2>> code_128(const std::string& text, const BarcodePlace& place) {
  const bool plain = !text.empty() && text.size() <= 60 &&
                     std::all_of(text.begin(), text.end(), [](char c) { return c >= ' ' && c <= '~'; });
  if (!plain) return bad_value(fmt::format("a barcode holds 1 to 60 plain letters, not \"{}\"", text));
  const std::unique_ptr<zint_symbol, void (*)(zint_symbol*)> symbol(ZBarcode_Create(), ZBarcode_Delete);
  if (!symbol) return Problem{Trouble::kInternal, "a barcode cannot be begun", {}, {}, {}};
  symbol->symbology = BARCODE_CODE128;
  const auto* bytes = reinterpret_cast<const unsigned char*>(text.data());
  if (ZBarcode_Encode(symbol.get(), bytes, static_cast<int>(text.size())) >= ZINT_ERROR)
    return Problem{
        Trouble::kInternal, fmt::format("no barcode of \"{}\": {}", text, symbol->errtxt), {}, {}, {}};
  std::vector<Box2> bars;
  const auto dark = [&](int module) {
    return ((symbol->encoded_data[0][module / 8] >> (module % 8)) & 1) != 0;
  };
  for (int k = 0; k < symbol->width; ++k) {
    if (!dark(k)) continue;
    int end = k;
    while (end < symbol->width && dark(end)) ++end;
    bars.push_back({{place.at.x + k * place.module, place.at.y},
                    {place.at.x + end * place.module, place.at.y + place.height}});
    k = end;
  }
  return bars;
}

}  // namespace lastwright
