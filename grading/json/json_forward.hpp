// The names of JSON values and documents, for headers that only pass them on. What they are is in
// json_text.hpp, which the sources include that look into them: reading it costs a second.
#pragma once

#include <nlohmann/json_fwd.hpp>

namespace lastwright {

using Json = nlohmann::ordered_json;
struct JsonDocument;

}  // namespace lastwright
