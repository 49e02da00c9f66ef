// Lastwright from Python: graded outlines as numpy arrays, by piece, size and width.
//
//   import lastwright
//   graded = lastwright.Style("style.json").grade()
//   for (piece, size, width), line in graded.cut_lines().items():
//       print(piece, size, width, line[:, :2].mean(axis=0))
//
// A path is an array of n rows x, y, bulge: a corner, and the segment that leaves it (0 is straight, else an
// arc that sweeps four times the arc tangent of the bulge, counter-clockwise above 0); a closed one does not
// repeat its first corner. Lengths are millimetres. Files are str, bytes or os.PathLike. What an input causes
// is raised as ValueError, one fault a line. What takes time (Style(...), grade, piece, outlines, cut_lines,
// dxf, findings, failed, dies) is done without holding up other Python threads; only the arrays are made
// while they wait.
#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

#include <lastwright/lastwright.hpp>

namespace py = pybind11;
namespace lw = lastwright::library;

namespace {

// What the work gives, done while other Python threads go on; its faults as a ValueError.
template <class Work>
auto done(const Work& work) {
  const auto outcome = [&] {
    const py::gil_scoped_release others;
    return work();
  }();
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

py::dict finding_of(const lw::CheckResult& one) {
  py::dict finding;
  finding["check"] = one.check;
  finding["subject"] = one.subject;
  finding["worst"] = one.worst;
  finding["limit"] = one.limit;
  finding["limit_is_least"] = one.limit_is_least;
  finding["unit"] = one.unit;
  finding["where"] = one.where;
  finding["size"] = one.size;
  finding["width"] = one.width;
  finding["piece"] = one.piece;
  finding["point"] = one.point;
  finding["passed"] = one.passed;
  finding["look"] = one.look;
  finding["note"] = one.note;
  return finding;
}

py::list findings_of(const std::vector<lw::CheckResult>& findings) {
  py::list all;
  for (const lw::CheckResult& one : findings) all.append(finding_of(one));
  return all;
}

py::dict die_of(const lw::Die& die) {
  py::dict one;
  one["number"] = die.number;
  one["piece"] = die.piece;
  one["drawn_as"] = die.drawn_as;
  one["serves"] = die.serves;
  one["to_make"] = die.to_make;
  one["shape"] = piece_of(die.shape);
  return one;
}

py::dict order_of(const lw::DiesToMake& order) {
  py::list dies;
  for (const lw::Die& die : order.dies) dies.append(die_of(die));
  py::dict all;
  all["dies"] = dies;
  all["to_make"] = order.to_make;
  all["at_least"] = order.at_least;
  all["proven"] = order.proven;
  all["failed"] = findings_of(order.failed);
  return all;
}

// A path as Python has it: str, bytes or any os.PathLike, its bytes as they are on the disk.
std::string path_of(const py::object& path) {
  return py::module_::import("os").attr("fsencode")(path).cast<py::bytes>();
}

std::vector<std::string> paths_of(const std::vector<py::object>& some) {
  std::vector<std::string> paths;
  for (const py::object& one : some) paths.push_back(path_of(one));
  return paths;
}

lw::Style loaded(const py::object& file, const std::vector<py::object>& tables) {
  return done([path = path_of(file), more = paths_of(tables)] { return lw::Style::load(path, {more}); });
}

// They may hold the name of a file, which need not be UTF-8.
py::list notes_of(const lw::Style& style) {
  py::list notes;
  for (const std::string& note : style.notes())
    notes.append(py::module_::import("os").attr("fsdecode")(py::bytes(note)));
  return notes;
}

py::dict outlines_of(const lw::GradedStyle& graded, unsigned threads) {
  py::dict all;
  for (const lw::Outline& one : done([&] { return graded.outlines(threads); }))
    all[py::make_tuple(one.piece, one.size, one.width)] = piece_of(one);
  return all;
}

py::dict cut_lines_of(const lw::GradedStyle& graded, unsigned threads) {
  py::dict all;
  for (const lw::Outline& one : done([&] { return graded.outlines(threads); }))
    all[py::make_tuple(one.piece, one.size, one.width)] = rows_of(one.cut);
  return all;
}

py::dict girths_of(const lw::Style& style) {
  py::dict all;
  for (const lw::MeasureValue& one : style.girths())
    all[py::make_tuple(one.measure, one.size, one.width)] = one.millimetres;
  return all;
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
             const std::string& width) {
            return piece_of(done([&] { return graded.outline(piece, size, width); }));
          },
          py::arg("piece"), py::arg("size"), py::arg("width"),
          "cut and net line, cut_outs, lines as (work, path), holes as (work, x, y, radius)")
      .def("outlines", &outlines_of, py::arg("threads") = 0, "every piece by (piece, size, width)")
      .def("cut_lines", &cut_lines_of, py::arg("threads") = 0,
           "the cut line of every piece by (piece, size, width)")
      .def(
          "dxf",
          [](const lw::GradedStyle& graded, const std::string& piece, const std::string& size,
             const std::string& width) {
            return py::bytes(done([&] { return graded.dxf(piece, size, width); }));
          },
          py::arg("piece"), py::arg("size"), py::arg("width"),
          "the bytes of the drawing that lastwright grade writes")
      .def(
          "findings",
          [](const lw::GradedStyle& graded, unsigned threads) {
            return findings_of(done([&] { return graded.findings(threads); }));
          },
          py::arg("threads") = 0,
          "all that lastwright check finds, a dict each; take nothing to the press before every \"passed\" "
          "is "
          "true and the notes with \"look\" are read")
      .def(
          "failed",
          [](const lw::GradedStyle& graded, unsigned threads) {
            py::list failed;
            for (const lw::CheckResult& one : done([&] { return graded.findings(threads); })) {
              if (!one.passed)
                failed.append(py::make_tuple(one.check, one.subject, one.worst, one.unit, one.where));
            }
            return failed;
          },
          py::arg("threads") = 0, "checks that failed; take nothing to the press before this is empty");
  py::class_<lw::Style>(module, "Style")
      .def(py::init(&loaded), py::arg("file"), py::arg("tables") = std::vector<py::object>{})
      .def_property_readonly("name", &lw::Style::name)
      .def_property_readonly("notes", &notes_of)
      .def("girths", &girths_of, "mm of every measure by (measure, size, width)")
      .def(
          "grade",
          [](const lw::Style& style, unsigned threads) { return done([&] { return style.grade(threads); }); },
          py::arg("threads") = 0)
      .def(
          "dies",
          [](const lw::Style& style, std::optional<double> tolerance, const py::object& rules,
             const std::vector<py::object>& owned, unsigned threads) {
            lw::DieOptions options;
            options.tolerance = tolerance;
            options.rules = path_of(rules);
            options.owned = paths_of(owned);
            options.threads = threads;
            return order_of(done([&] { return style.dies(options); }));
          },
          py::arg("tolerance") = py::none(), py::arg("rules") = "",
          py::arg("owned") = std::vector<py::object>{}, py::arg("threads") = 0,
          "the fewest dies; \"failed\": make none before these are mended");
}
