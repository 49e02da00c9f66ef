// Proves that the other cases fail for their own fault, not for a broken include.
#include "geometry/units.hpp"
#include "grading/sizes/scale.hpp"
using namespace lastwright;
Millimetres allowance{8.0};
Radians corner = from_degrees(5.0);
WidthSteps wider{1};
