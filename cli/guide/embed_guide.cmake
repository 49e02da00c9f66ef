# Writes the C++ source that holds the pages of the guide: cmake -DOUT=x.cpp "-DPAGES=a.md;b.md" -P embed_guide.cmake
set(text "// Written by cli/guide/embed_guide.cmake at build time.\n#include \"cli/guide/guide.hpp\"\n\n")
string(APPEND text "namespace lastwright {\nnamespace {\nconstexpr GuidePage kPages[] = {\n")
foreach(page IN LISTS PAGES)
  file(READ "${page}" content)
  get_filename_component(name "${page}" NAME_WE)
  string(REGEX REPLACE "^[0-9]+-" "" name "${name}")
  # A text of the language may hold 65,536 bytes: a longer page would have to be split.
  string(APPEND text "{\"${name}\", R\"lastwright(${content})lastwright\"},\n")
endforeach()
string(APPEND text "};\n}  // namespace\n\nstd::span<const GuidePage> guide_pages() {\n  return kPages;\n}\n\n}  // namespace lastwright\n")
file(WRITE "${OUT}" "${text}")
