// As geometry/precompiled.hpp, for the tests.
#pragma once

#include <rapidcheck.h>

#include <catch2/catch.hpp>

#include "geometry/precompiled.hpp"
