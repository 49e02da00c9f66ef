// Nothing but the owner of the precompiled header of Catch2 (tests/CMakeLists.txt).
int main() {
  return 0;
}
