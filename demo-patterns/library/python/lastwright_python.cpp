// Lastwright from Python: graded outlines as numpy arrays, by piece, size and width.
//
//   import lastwright
//   graded = lastwright.Style("style.json").grade()
//   for (piece, size, width), line in graded.cut_lines().items():
//       print(piece, size, width, line[:, :2].mean(axis=0))
//
// A path is an array of n rows x, y, bulge: a corner, and the segment that leaves it (0 is straight, else an arc that
// sweeps four times the arc tangent of the bulge, counter-clockwise above 0); a closed one does not repeat its first
// corner. Lengths are millimetres. What an input causes is raised as ValueError, one fault a line. The work is done
// without holding up other Python threads.
#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

#include <lastwright/lastwright.hpp>

namespace py = pybind11;
namespace lw = lastwright::library;

namespace {

template <class T>
const T& value_of(const lw::Outcome<T>& outcome) {
  if (outcome) return *outcome;
  std::string all;
  for (const lw::Fault& fault : outcome.faults()) all += (all.empty() ? "" : "\n") + fault.text;
  throw py::value_error(all);
}

py::array_t<double> rows_of(const lw::Path& path) {
  py::array_t<double> rows({path.size(), std::size_t{3}});
  auto at = rows.mutable_unchecked<2>();
  for (std::size_t i = 0; i < path.size(); ++i) {
    const auto row = static_cast<py::ssize_t>(i);
    at(row, 0) = path[i].x;
    at(row, 1) = path[i].y;
    at(row, 2) = path[i].bulge;
  }
  return rows;
}

py::dict piece_of(const lw::Outline& one) {
  py::list cut_outs;
  for (const lw::Path& path : one.cut_outs) cut_outs.append(rows_of(path));
  py::list lines;
  for (const lw::WorkedLine& line : one.lines) lines.append(py::make_tuple(line.work, rows_of(line.path)));
  py::list holes;
  for (const lw::Hole& hole : one.holes) holes.append(py::make_tuple(hole.work, hole.x, hole.y, hole.radius));
  py::dict piece;
  piece["cut"] = rows_of(one.cut);
  piece["net"] = rows_of(one.net);
  piece["cut_outs"] = cut_outs;
  piece["lines"] = lines;
  piece["holes"] = holes;
  return piece;
}

}  // namespace

PYBIND11_MODULE(lastwright, module) {
  module.doc() = "Graded outlines of footwear as numpy arrays; millimetres, rows of x, y, bulge.";
  module.attr("__version__") = lw::version();
  py::class_<lw::GradedStyle>(module, "GradedStyle")
      .def_property_readonly("pieces", &lw::GradedStyle::pieces)
      .def_property_readonly("sizes", &lw::GradedStyle::sizes)
      .def_property_readonly("widths", &lw::GradedStyle::widths)
      .def(
          "piece",
          [](const lw::GradedStyle& graded, const std::string& piece, const std::string& size,
             const std::string& width) { return piece_of(value_of(graded.outline(piece, size, width))); },
          py::arg("piece"), py::arg("size"), py::arg("width"),
          "cut and net line, cut_outs, lines as (work, path), holes as (work, x, y, radius)")
      .def(
          "cut_lines",
          [](const lw::GradedStyle& graded, unsigned threads) {
            const auto outlines = [&] {
              const py::gil_scoped_release others;
              return graded.outlines(threads);
            }();
            py::dict all;
            for (const lw::Outline& one : value_of(outlines))
              all[py::make_tuple(one.piece, one.size, one.width)] = rows_of(one.cut);
            return all;
          },
          py::arg("threads") = 0, "the cut line of every piece by (piece, size, width)")
      .def(
          "failed",
          [](const lw::GradedStyle& graded, unsigned threads) {
            const auto findings = [&] {
              const py::gil_scoped_release others;
              return graded.findings(threads);
            }();
            py::list failed;
            for (const lw::CheckResult& one : value_of(findings)) {
              if (!one.passed) failed.append(py::make_tuple(one.check, one.subject, one.worst, one.unit, one.where));
            }
            return failed;
          },
          py::arg("threads") = 0, "checks that failed; take nothing to the press before this is empty");
  py::class_<lw::Style>(module, "Style")
      .def(py::init([](const std::string& file, const std::vector<std::string>& tables) {
             return value_of(lw::Style::load(file, {tables}));
           }),
           py::arg("file"), py::arg("tables") = std::vector<std::string>{})
      .def_property_readonly("name", &lw::Style::name)
      .def_property_readonly("notes", &lw::Style::notes)
      .def("girths",
           [](const lw::Style& style) {
             py::dict all;
             for (const lw::MeasureValue& one : style.girths())
               all[py::make_tuple(one.measure, one.size, one.width)] = one.millimetres;
             return all;
           })
      .def(
          "grade",
          [](const lw::Style& style, unsigned threads) {
            const auto graded = [&] {
              const py::gil_scoped_release others;
              return style.grade(threads);
            }();
            return value_of(graded);
          },
          py::arg("threads") = 0);
}
