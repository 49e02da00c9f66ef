// expect: conversion from .lastwright::Radians. to (non-scalar type )?.lastwright::Millimetres.
#include "geometry/units.hpp"
lastwright::Millimetres allowance = lastwright::from_degrees(5.0);
