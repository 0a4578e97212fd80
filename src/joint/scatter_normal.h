/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_JOINT_SCATTER_NORMAL_H
#define BT_JOINT_SCATTER_NORMAL_H

#include <stdint.h>

/*
 * Normal numbers in bulk, the same bits on every machine.
 *
 * Words from xoshiro256++ (D. Blackman, S. Vigna, Scrambled linear pseudorandom number
 * generators, ACM Transactions on Mathematical Software 47(4), 2021), several side by
 * side, started by SplitMix64 (G. L. Steele, D. Lea, C. H. Flood, Fast splittable
 * pseudorandom number generators, OOPSLA 2014).  Half a word at a time is made normal
 * by the ziggurat of G. Marsaglia and W. W. Tsang (The ziggurat method for generating
 * random variables, Journal of Statistical Software 5(8), 2000) with 1024 layers: 10
 * bits the layer, one the sign, 21 the place in the layer, in steps of at most 2e-6.
 * GSL has a ziggurat, but calls its generator by pointer for each number, which takes
 * several times as long as all the rest of a draw.
 *
 * The same bits: only additions, multiplications, divisions, square roots and
 * conversions of doubles are used, which IEEE 754 rounds alike everywhere; exponential
 * and logarithm are made of these here, since mathematical libraries differ in the last
 * bit.  Compiled without contraction and without excess precision (FLT_EVAL_METHOD 0).
 * Private.
 */

/*
 * Twice as wide where the processor can: a second copy of a function, which the loader
 * chooses.  The same operations on each number, so the same bits.  Not under the
 * address sanitizer, which is not ready yet when the loader chooses.
 */
#if defined(__GNUC__) && !defined(__clang__) && defined(__x86_64__) &&                 \
    defined(__gnu_linux__) && !defined(__SANITIZE_ADDRESS__) &&                        \
    !defined(__SANITIZE_THREAD__)
#define BT_WIDE __attribute__((target_clones("avx2", "default")))
#else
#define BT_WIDE
#endif

/* Numbers are made so many at a time. */
enum { NORMALS = 64 };

enum { NORMAL_LAYERS = 1024, NORMAL_WORDS = NORMALS / 2 };

struct normal_source {
    uint64_t state[4][NORMAL_WORDS];
    uint64_t spare; /* state of the words for what the layers leave open */
    /* By the low eleven bits, 1024 the sign: a place, in halves, below inside is taken
     * times scale; others must be looked at. */
    uint32_t inside[2 * NORMAL_LAYERS];
    double scale[2 * NORMAL_LAYERS];
    double height[NORMAL_LAYERS + 1];
};

void normal_start(struct normal_source *source, uint64_t seed);

/* Standard normal numbers. */
void normal_fill(struct normal_source *source, double out[NORMALS]);

/* exp(-x) for x from 0 to 9, and ln(x) for x from 1e-18 to 1: to 5e-14 of them. */
double normal_exp_minus(double x);
double normal_log(double x);

#endif
