// expect: conversion from .lastwright::WidthSteps. to (non-scalar type )?.lastwright::SizeSteps.
#include "grading/sizes/scale.hpp"
lastwright::SizeSteps steps = lastwright::WidthSteps{1};
