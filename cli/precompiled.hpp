// As geometry/precompiled.hpp, and the headers of the options.
#pragma once

#include <CLI/CLI.hpp>

#include "geometry/precompiled.hpp"
