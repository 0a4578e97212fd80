/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_JOINT_SCATTER_NORMAL_H
#define BT_JOINT_SCATTER_NORMAL_H

#include <stddef.h>
#include <stdint.h>

/*
 * Normal numbers in bulk, the same bits on every machine.
 *
 * Words from SplitMix64 (G. L. Steele, D. Lea, C. H. Flood, Fast splittable
 * pseudorandom number generators, OOPSLA 2014), made normal by the ziggurat of G.
 * Marsaglia and W. W. Tsang (The ziggurat method for generating random variables,
 * Journal of Statistical Software 5(8), 2000) with 256 layers.  GSL has a ziggurat, but
 * calls its generator by pointer for each number, which takes several times as long as
 * all the rest of a draw; and its tables' logarithms are the machine's.
 *
 * The same bits: only additions, multiplications, divisions, square roots and
 * conversions of doubles are used, which IEEE 754 rounds alike everywhere; exponential
 * and logarithm are made of these here, since mathematical libraries differ in the last
 * bit.  Compiled without contraction and without excess precision (FLT_EVAL_METHOD 0).
 * Private.
 */

enum { NORMAL_LAYERS = 256 };

struct normal_source {
    uint64_t state;
    /* Layer k: a signed whole number of 53 bits below inside[k] in size is taken times
     * scale[k]; others must be looked at. */
    int64_t inside[NORMAL_LAYERS];
    double scale[NORMAL_LAYERS], edge[NORMAL_LAYERS + 1], height[NORMAL_LAYERS + 1];
};

void normal_start(struct normal_source *source, uint64_t seed);

/* n standard normal numbers. */
void normal_fill(struct normal_source *source, size_t n, double out[]);

/* exp(-x) for x from 0 to 8, and ln(x) for x from 1e-18 to 1: to 2e-14 of them. */
double normal_exp_minus(double x);
double normal_log(double x);

#endif
