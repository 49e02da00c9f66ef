// A small but complete style file for tests: one shell forme, two pieces that are sewn together.
#pragma once

namespace lastwright::testing {

inline constexpr const char* kSmallStyle = R"({
  "lastwright_style": 1,
  "name": "Test slipper",
  "works": "Nowhere Works",
  "note": "two\nlines",
  "scale": "english",
  "ladder": "english-letters",
  "tables": ["own.json"],
  "base": {"size": "8", "width": "F"},
  "run": {"from": "5", "to": "13", "by": "1/2", "widths": ["D", "E", "F", "G", "H"]},
  "measures": {
    "stick length": {"from_scale": true, "per_width": "1 mm"},
    "ball girth": {"base": "246 mm", "per_size": "1/4 in", "per_width": 6.35, "breaks": [{"from": "5", "to": "7", "per_size": "3/16 in"}], "size_steps_per_width": "1/8", "source": "invented", "provenance": "common practice"},
    "tread": {"base": 90, "per_size": "1/12 in", "per_width": "1/12 in", "law": "proportional"}
  },
  "drawings": {
    "shell": {"file": "shell.dxf", "units": "mm", "chain_gap": 0.05, "fair": {"within": 0.03, "corners": 25}, "layers": {"OUT": "boundary", "13": "ignore"}}
  },
  "formes": {
    "shell": {
      "points": {"heel": [0, 0], "toe": [290, 0], "ball top": [180, 90], "ball feather": [200, -20], "throat": [150.25, 60.5]},
      "base_line": ["heel", "toe"],
      "fixed": "heel",
      "length_line": "stick",
      "girth_line": "ball line",
      "rules": [
        {"measure_line": "stick", "from": "heel", "to": "toe", "carries": {"stick length": 1}},
        {"measure_line": "ball line", "from": "ball top", "to": "ball feather", "carries": {"ball girth": "1/2", "tread": "-1/2"}},
        {"check_line": "throat line", "from": "heel", "to": "throat", "carries": {"ball girth": 0.25}},
        {"point": "throat", "per_size": [0.5, 1], "per_width": [0, "1/32 in"]},
        {"hold": ["ball top", "throat"]},
        {"straight": ["ball top", "throat", "ball feather"]}
      ]
    }
  },
  "girths": {
    "ball girth": [{"forme": "shell", "line": "ball line", "times": 2}]
  },
  "pieces": [
    {
      "name": "vamp",
      "forme": "shell",
      "outline": {"drawing": "shell", "block": "VAMP", "layer": "OUT", "at": [200, 20]},
      "drawn": "net",
      "corners": {"front": "toe", "throat": [150.25, 60.5], "wing": "ball feather"},
      "edges": [
        {"name": "fold", "from": "front", "to": "throat", "treatment": "fold", "straight": true},
        {"name": "wing", "from": "throat", "to": "wing", "treatment": "closed seam", "allowance": 1.5},
        {"name": "feather", "from": "wing", "to": "front", "treatment": "lasting", "allowance": "18 mm"}
      ],
      "fold": "fold",
      "material": "calf",
      "hand": "symmetric",
      "per_pair": 2
    },
    {
      "name": "quarter",
      "forme": "shell",
      "outline": {"drawing": "shell"},
      "corners": {"a": [0, 0]},
      "edges": [{"name": "round", "from": "a", "to": "a"}]
    }
  ],
  "seams": [{"name": "join", "one": {"piece": "vamp", "edge": "wing"}, "other": {"piece": "quarter", "edge": "round"}, "ease": 0.5}],
  "proposed": [{"sure": "likely", "what": "a seam", "at": "/seams/0"}, {"sure": "guess", "what": "the sample"}],
  "limits": {"seam": 0.2}
})";

}  // namespace lastwright::testing
