// expect: conversion from .double. to (non-scalar type )?.lastwright::Millimetres.
#include "geometry/units.hpp"
lastwright::Millimetres allowance = 8.0;
