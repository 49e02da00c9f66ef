// Headers outside the project that most sources use. Only ever included by the build (LASTWRIGHT_PRECOMPILE):
// every source still names what it uses, and the dev preset builds without this.
#pragma once

#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <numeric>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>
