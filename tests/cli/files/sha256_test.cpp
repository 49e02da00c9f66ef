#include "cli/files/sha256.hpp"

#include <catch2/catch.hpp>
#include <string>

using namespace lastwright;

// Published vectors: FIPS 180-4 example values (NIST, "SHA256.pdf" of the
// Cryptographic Standards examples) for the first and third, NIST CAVP short-message
// vectors for the empty one; the million a's is FIPS 180-2, appendix B.3.
TEST_CASE("SHA-256 gives the published digests", "[sha256]") {
  struct Vector {
    std::string message;
    std::string digest;
  };
  const Vector vectors[] = {
      {"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"},
      {"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"},
      {"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
       "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"},
      {std::string(1000000, 'a'), "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"},
  };
  for (const Vector& v : vectors) {
    CHECK(to_hex(sha256(v.message)) == v.digest);
  }
}
