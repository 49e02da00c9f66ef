// How likely a batch is under one hypothesis: the scale on which causes are compared.
//
// The departure of all readings from the table is f = o + x b + e. o is what the hypothesis says exactly, x b
// its causes of unknown amount and what sound work may do, e what a pair and a last have of their own; b and
// e are normal and centred. With V the covariance of x b + e and p_i the chance of reading i
// (reading_likelihood.hpp), the evidence is the integral of product p_i(f) over f, by Laplace's method at the
// mode (MacKay 2003, "Information theory, inference and learning algorithms", chapters 27 and 28):
//     log Z = sum log p_i(f) - u' V^-1 u / 2 - log |I + W^1/2 V W^1/2| / 2,   u = f - o,
// where W are the weights of ReadingChance. For normal, hardly rounded readings it is exact
// (tests/outside/readings compares with a general multivariate normal density).
#pragma once

#include "grading/readings/batch_layout.hpp"
#include "grading/readings/precision.hpp"

namespace lastwright {

// What a hypothesis adds to the sound batch; both by reading of the layout.
struct Hypothesis {
  Eigen::VectorXd offset;                // exactly this; empty: nothing
  std::vector<Eigen::VectorXd> columns;  // each times a standard normal amount
};

struct Mode {
  double log_evidence = 0.0;
  Eigen::VectorXd departure;  // u: of the readings beyond the offset, millimetres
  Eigen::VectorXd weights;    // W
  Eigen::VectorXd working;    // u + slope / W: what a linear model would have read
  Eigen::VectorXd narrow;     // share of the narrow part, by reading
  Precision precision;        // at these weights
};

struct EvidenceOptions {
  double settled = 0.02;  // change of the logarithm between two rounds that ends them
  int rounds = 80;
};

// `start`: where the search for the mode begins; empty for 0.
Mode evidence_of(const BatchLayout& layout, const Hypothesis& hypothesis, const BatchNoise& noise,
                 const Eigen::VectorXd& start = {}, const EvidenceOptions& options = {});

}  // namespace lastwright
