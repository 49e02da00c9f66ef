// What an order states twice.
#pragma once

#include "grading/planning/order.hpp"

namespace lastwright {

// Adds to what is told of the order each row that is the same as one before it, or orders pairs of a style,
// size, width, case and period that one before it orders.
void tell_twice(const TextTable& table, Order& order);

// What lines of one row, or of one assortment, say differently of one size and width: "8 F more than once and
// not alike (pairs: 2, 3): ..."; empty: nothing.
std::string stated_apart(const std::vector<OrderLine>& lines);

// What is left of a number when capitals, blanks and leading zeros are not looked at ("C-021" and "c - 21",
// but not the digits behind a decimal point): two cases of one such number, or a case and a ticket, are taken
// for each other.
std::string bare_number(std::string number);

// Cases whose numbers differ in capitals, blanks or leading zeros only. Told.
void tell_alike_cases(Order& order);

// A case with pairs of several periods is planned in each of them, its carton in the first. Told.
void tell_periods(Order& order);

// A case that pairs of several styles are in is cut and packed style by style: one case for each, with the
// style behind its number. Told.
void number_styles_apart(Order& order);

}  // namespace lastwright
