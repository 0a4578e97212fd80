/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_SURFACE_RANDOM_H
#define BT_SURFACE_RANDOM_H

#include <stddef.h>
#include <stdint.h>

/*
 * Random numbers from a counter: Philox4x32-10 (J. K. Salmon, M. A. Moraes, R. O. Dror,
 * D. E. Shaw, Parallel random numbers: as easy as 1, 2, 3, SC11, 2011).  A stream is
 * known by its seed and number alone and overlaps no other, so that it does not matter
 * who draws from it and when.  Private.
 */
struct bt_random {
    uint32_t key[2], counter[4];
    uint32_t word[4];
    unsigned left; /* words not yet given */
};

/* One step of the generator: what the counter gives under the key. */
void bt_philox(const uint32_t counter[4], const uint32_t key[2], uint32_t out[4]);

/* Begin stream number `stream` of a seed; each holds 2^66 words. */
void bt_random_start(struct bt_random *random, uint64_t seed, uint64_t stream);

uint32_t bt_random_word(struct bt_random *random);

/* From 0 to less than 1, steps of 2^-53. */
double bt_random_uniform(struct bt_random *random);

/* Standard normal, by GSL's ziggurat. */
void bt_random_normals(struct bt_random *random, size_t n, double out[]);

#endif
