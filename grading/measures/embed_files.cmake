# Writes a C++ source that holds text files: cmake -DOUT=x.cpp -DROOT=dir "-DFILES=a.json;b.json" -P embed_files.cmake
# FILES are named relative to ROOT and keep these names in the program.
set(text "// Written by grading/measures/embed_files.cmake at build time.\n#include \"grading/measures/embedded.hpp\"\n\n")
string(APPEND text "namespace lastwright {\nnamespace {\nconstexpr EmbeddedFile kFiles[] = {\n")
foreach(file IN LISTS FILES)
  file(READ "${ROOT}/${file}" content)
  string(APPEND text "{\"${file}\", R\"lastwright(${content})lastwright\"},\n")
endforeach()
string(APPEND text "};\n}  // namespace\n\n")
string(APPEND text "std::span<const EmbeddedFile> embedded_files() { return kFiles; }\n\n}  // namespace lastwright\n")
file(WRITE "${OUT}" "${text}")
