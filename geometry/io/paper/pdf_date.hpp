// The date that a PDF says it was made on.
#pragma once

#include <string>

namespace lastwright {

// 1970-01-01 unless the environment names another time (SOURCE_DATE_EPOCH, seconds since then): the same
// input gives the same bytes.
std::string pdf_creation_date();

}  // namespace lastwright
