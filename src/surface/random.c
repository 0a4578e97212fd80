/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "surface/random.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>

enum { ROUNDS = 10 };

static const uint64_t multiplier[2] = {0xD2511F53u, 0xCD9E8D57u};
static const uint32_t weyl[2] = {0x9E3779B9u, 0xBB67AE85u};

void bt_philox(const uint32_t counter[4], const uint32_t key[2], uint32_t out[4])
{
    uint32_t a = counter[0], b = counter[1], c = counter[2], d = counter[3];
    uint32_t k0 = key[0], k1 = key[1];

    for (int round = 0; round < ROUNDS; round++) {
        const uint64_t p = multiplier[0] * a, q = multiplier[1] * c;

        a = (uint32_t)(q >> 32) ^ b ^ k0;
        b = (uint32_t)q;
        c = (uint32_t)(p >> 32) ^ d ^ k1;
        d = (uint32_t)p;
        k0 += weyl[0];
        k1 += weyl[1];
    }
    out[0] = a;
    out[1] = b;
    out[2] = c;
    out[3] = d;
}

void bt_random_start(struct bt_random *random, uint64_t seed, uint64_t stream)
{
    *random = (struct bt_random){
        .key = {(uint32_t)seed, (uint32_t)(seed >> 32)},
        .counter = {0, 0, (uint32_t)stream, (uint32_t)(stream >> 32)}};
}

uint32_t bt_random_word(struct bt_random *random)
{
    if (!random->left) {
        bt_philox(random->counter, random->key, random->word);
        random->left = 4;
        if (++random->counter[0] == 0)
            random->counter[1]++;
    }
    return random->word[4 - random->left--];
}

double bt_random_uniform(struct bt_random *random)
{
    const uint64_t high = bt_random_word(random) >> 5,
                   low = bt_random_word(random) >> 6;

    return (double)(high << 26 | low) / 9007199254740992.0;
}

/* ---- as a generator of GSL, whose normal numbers are used ---- */

static void set(void *state, unsigned long seed)
{
    bt_random_start(state, seed, 0);
}

static unsigned long get(void *state)
{
    return bt_random_word(state);
}

static double get_double(void *state)
{
    return bt_random_uniform(state);
}

static const gsl_rng_type type = {
    "philox4x32-10", 0xFFFFFFFFu, 0, sizeof(struct bt_random), set, get, get_double};

void bt_random_normals(struct bt_random *random, size_t n, double out[])
{
    const gsl_rng rng = {&type, random};

    for (size_t i = 0; i < n; i++)
        out[i] = gsl_ran_gaussian_ziggurat(&rng, 1);
}
