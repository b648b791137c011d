/* The marching kernel in double and single precision. See marching.h. */
#include <math.h>
#include <stdint.h>

#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && defined(__linux__)
#define CLONES __attribute__((target_clones("avx2", "default")))
#else
#define CLONES
#endif

#define REAL double
#define NAME(x) x##_double
#include "marching.h"
#undef REAL
#undef NAME

#define REAL float
#define NAME(x) x##_single
#include "marching.h"
