#include "cli/sha256.hpp"

#include <bit>
#include <cstring>

#if defined(__x86_64__)
#include <cpuid.h>
#include <immintrin.h>
#endif

namespace lastwright {

namespace {

using State = std::array<std::uint32_t, 8>;
using Compress = void (*)(State& state, const std::uint8_t* block, std::size_t blocks);

constexpr std::size_t kBlock = 64;

// First 32 bits of the fractional parts of the square roots of the first 8 primes (FIPS 180-4, 5.3.3) ...
constexpr State kStart = {0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a,
                          0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19};
// ... and of the cube roots of the first 64 (4.2.2).
alignas(16) constexpr std::array<std::uint32_t, 64> kRound = {
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
    0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
    0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
    0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
    0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

std::uint32_t big_endian(const std::uint8_t* p) {
  return std::uint32_t{p[0]} << 24 | std::uint32_t{p[1]} << 16 | std::uint32_t{p[2]} << 8 | p[3];
}

void compress_portable(State& state, const std::uint8_t* block, std::size_t blocks) {
  for (; blocks > 0; --blocks, block += kBlock) {
    std::array<std::uint32_t, 64> w;
    for (std::size_t t = 0; t < 16; ++t) w[t] = big_endian(block + 4 * t);
    for (std::size_t t = 16; t < 64; ++t) {
      const std::uint32_t x = w[t - 15];
      const std::uint32_t y = w[t - 2];
      w[t] = w[t - 16] + (std::rotr(x, 7) ^ std::rotr(x, 18) ^ (x >> 3)) + w[t - 7] +
             (std::rotr(y, 17) ^ std::rotr(y, 19) ^ (y >> 10));
    }
    auto [a, b, c, d, e, f, g, h] = state;
    for (std::size_t t = 0; t < 64; ++t) {
      const std::uint32_t one = h + (std::rotr(e, 6) ^ std::rotr(e, 11) ^ std::rotr(e, 25)) +
                                ((e & f) ^ (~e & g)) + kRound[t] + w[t];
      const std::uint32_t two =
          (std::rotr(a, 2) ^ std::rotr(a, 13) ^ std::rotr(a, 22)) + ((a & b) ^ (a & c) ^ (b & c));
      h = g;
      g = f;
      f = e;
      e = d + one;
      d = c;
      c = b;
      b = a;
      a = one + two;
    }
    const State add = {a, b, c, d, e, f, g, h};
    for (std::size_t i = 0; i < 8; ++i) state[i] += add[i];
  }
}

#if defined(__x86_64__)

bool has_sha_instructions() {
  unsigned a = 0;
  unsigned b = 0;
  unsigned c = 0;
  unsigned d = 0;
  if (__get_cpuid_count(7, 0, &a, &b, &c, &d) == 0 || (b & (1U << 29)) == 0) return false;
  return __get_cpuid(1, &a, &b, &c, &d) != 0 && (c & (1U << 19)) != 0;  // SSE 4.1, for the blend
}

// The instruction pair works on the state as (A,B,E,F) and (C,D,G,H), four rounds at a time, two per
// instruction.
__attribute__((target("sha,sse4.1"))) void compress_sha(State& state, const std::uint8_t* block,
                                                        std::size_t blocks) {
  const __m128i swap = _mm_set_epi64x(0x0c0d0e0f08090a0b, 0x0405060700010203);
  const auto load = [](const void* p) { return _mm_loadu_si128(static_cast<const __m128i*>(p)); };
  const __m128i badc = _mm_shuffle_epi32(load(state.data()), 0xB1);
  const __m128i hgfe = _mm_shuffle_epi32(load(state.data() + 4), 0x1B);
  __m128i abef = _mm_alignr_epi8(badc, hgfe, 8);
  __m128i cdgh = _mm_blend_epi16(hgfe, badc, 0xF0);
  for (; blocks > 0; --blocks, block += kBlock) {
    const __m128i abef_before = abef;
    const __m128i cdgh_before = cdgh;
    __m128i w[4];  // the last sixteen words of the schedule
    for (std::size_t i = 0; i < 4; ++i) w[i] = _mm_shuffle_epi8(load(block + 16 * i), swap);
    for (std::size_t group = 0; group < 16; ++group) {
      const std::size_t now = group % 4;
      if (group >= 4) {
        const __m128i last = w[(group + 3) % 4];
        const __m128i sevens = _mm_alignr_epi8(last, w[(group + 2) % 4], 4);
        const __m128i partial = _mm_add_epi32(_mm_sha256msg1_epu32(w[now], w[(group + 1) % 4]), sevens);
        w[now] = _mm_sha256msg2_epu32(partial, last);
      }
      const __m128i words =
          _mm_add_epi32(w[now], _mm_load_si128(reinterpret_cast<const __m128i*>(kRound.data() + 4 * group)));
      cdgh = _mm_sha256rnds2_epu32(cdgh, abef, words);
      abef = _mm_sha256rnds2_epu32(abef, cdgh, _mm_shuffle_epi32(words, 0x0E));
    }
    abef = _mm_add_epi32(abef, abef_before);
    cdgh = _mm_add_epi32(cdgh, cdgh_before);
  }
  const __m128i feba = _mm_shuffle_epi32(abef, 0x1B);
  const __m128i dchg = _mm_shuffle_epi32(cdgh, 0xB1);
  _mm_storeu_si128(reinterpret_cast<__m128i*>(state.data()), _mm_blend_epi16(feba, dchg, 0xF0));
  _mm_storeu_si128(reinterpret_cast<__m128i*>(state.data() + 4), _mm_alignr_epi8(dchg, feba, 8));
}

#endif

Sha256Digest digest_of(std::string_view bytes, Compress compress) {
  State state = kStart;
  const auto* data = reinterpret_cast<const std::uint8_t*>(bytes.data());
  const std::size_t whole = bytes.size() / kBlock;
  compress(state, data, whole);

  // The rest, a one bit, zeros, and the length in bits in the last eight bytes.
  std::array<std::uint8_t, 2 * kBlock> tail{};
  const std::size_t rest = bytes.size() - whole * kBlock;
  if (rest > 0) std::memcpy(tail.data(), data + whole * kBlock, rest);
  tail[rest] = 0x80;
  const std::size_t tail_blocks = rest + 9 <= kBlock ? 1 : 2;
  const std::uint64_t bits = std::uint64_t{bytes.size()} * 8;
  for (std::size_t i = 0; i < 8; ++i) {
    tail[tail_blocks * kBlock - 1 - i] = static_cast<std::uint8_t>(bits >> (8 * i));
  }
  compress(state, tail.data(), tail_blocks);

  Sha256Digest digest;
  for (std::size_t i = 0; i < 32; ++i) {
    digest[i] = static_cast<std::uint8_t>(state[i / 4] >> (24 - 8 * (i % 4)));
  }
  return digest;
}

}  // namespace

Sha256Digest sha256(std::string_view bytes) {
#if defined(__x86_64__)
  static const Compress compress = has_sha_instructions() ? compress_sha : compress_portable;
  return digest_of(bytes, compress);
#else
  return digest_of(bytes, compress_portable);
#endif
}

Sha256Digest sha256_portable(std::string_view bytes) {
  return digest_of(bytes, compress_portable);
}

std::string to_hex(const Sha256Digest& digest) {
  static constexpr char kDigits[] = "0123456789abcdef";
  std::string text;
  text.reserve(2 * digest.size());
  for (const std::uint8_t byte : digest) {
    text += kDigits[byte >> 4];
    text += kDigits[byte & 15];
  }
  return text;
}

}  // namespace lastwright
