/* The marching kernel in double and single precision. See marching.h. */
#define _POSIX_C_SOURCE 199309L
#include <math.h>
#include <stdatomic.h>
#include <stdint.h>

#if defined(__unix__) || defined(__APPLE__)
#include <sched.h>
/* Lets others run: where there is no free core, the one waited for may be among them. */
#define REST sched_yield()
#else
#define REST ((void)0)
#endif

#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && defined(__linux__)
#define CLONES __attribute__((target_clones("avx2", "default")))
#else
#define CLONES
#endif

/* What this was built from, and the layout of the structures below: whoever loads it checks both. */
#define LAYOUT 5
uint64_t kernel_mark(void) { return KERNEL_MARK; }
int64_t kernel_layout(void) { return LAYOUT; }

#define LEAST(x, y) ((x) < (y) ? (x) : (y))
#define MOST(x, y) ((x) > (y) ? (x) : (y))
#define MODULO(x, n) (((x) % (n) + (n)) % (n))

/* Columns that a line of cache holds, in single precision. */
#define SPARE 16

#define REAL double
#define NAME(x) x##_double
#include "laws.h"
#include "marching.h"
#undef REAL
#undef NAME

#define REAL float
#define NAME(x) x##_single
#include "laws.h"
#include "marching.h"
