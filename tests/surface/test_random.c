/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "surface/random.h"

#include <criterion/criterion.h>
#include <gsl/gsl_cdf.h>
#include <math.h>
#include <string.h>

/* J. K. Salmon and others, Random123 1.14.0, tests/kat_vectors, `philox4x32 10`. */
static const struct {
    uint32_t counter[4], key[2], out[4];
} published[] = {
    {{0, 0, 0, 0}, {0, 0}, {0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8}},
    {{0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff},
     {0xffffffff, 0xffffffff},
     {0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd}},
    {{0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344},
     {0xa4093822, 0x299f31d0},
     {0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1}},
};

Test(random, one_step_gives_the_published_words)
{
    for (size_t k = 0; k < sizeof published / sizeof *published; k++) {
        uint32_t out[4];

        bt_philox(published[k].counter, published[k].key, out);
        for (int i = 0; i < 4; i++)
            cr_expect_eq(out[i], published[k].out[i], "row %zu, word %d: %08x", k, i,
                         (unsigned)out[i]);
    }
}

Test(random, a_stream_is_the_steps_of_its_counter_one_after_another)
{
    const uint32_t key[2] = {0x89abcdef, 0x01234567};
    struct bt_random random;

    bt_random_start(&random, 0x0123456789abcdefu, 0x1122334455667788u);
    for (uint32_t k = 0; k < 5; k++) {
        const uint32_t counter[4] = {k, 0, 0x55667788, 0x11223344};
        uint32_t want[4];

        bt_philox(counter, key, want);
        for (int i = 0; i < 4; i++)
            cr_expect_eq(bt_random_word(&random), want[i], "step %u, word %d",
                         (unsigned)k, i);
    }
}

Test(random, the_counter_carries_into_its_second_word)
{
    const uint32_t key[2] = {7, 0}, after[4] = {0, 1, 0, 0};
    struct bt_random random;
    uint32_t want[4];

    bt_random_start(&random, 7, 0);
    random.counter[0] = 0xffffffffu;
    for (int i = 0; i < 4; i++)
        bt_random_word(&random);
    bt_philox(after, key, want);
    cr_expect_eq(bt_random_word(&random), want[0]);
}

Test(random, uniform_numbers_fill_zero_to_one)
{
    enum { N = 100000, CELLS = 20 };
    struct bt_random random;
    size_t count[CELLS] = {0};

    bt_random_start(&random, 11, 3);
    for (int i = 0; i < N; i++) {
        const double v = bt_random_uniform(&random);
        cr_assert(v >= 0 && v < 1, "%g", v);
        count[(int)(v * CELLS)]++;
    }
    for (int c = 0; c < CELLS; c++) /* five standard deviations of a count */
        cr_expect(fabs((double)count[c] - N / CELLS) <= 5 * sqrt(N / CELLS),
                  "cell %d: %zu", c, count[c]);
}

Test(random, normal_numbers_have_the_shares_of_the_normal_curve)
{
    enum { N = 200000, CELLS = 16 };
    static double v[N];
    struct bt_random random;
    size_t count[CELLS] = {0}, far = 0;
    double sum = 0, square = 0;

    bt_random_start(&random, 12, 0);
    bt_random_normals(&random, N, v);
    for (int i = 0; i < N; i++) {
        count[(int)(gsl_cdf_ugaussian_P(v[i]) * CELLS * (1 - 1e-12))]++;
        far += fabs(v[i]) > 3.5;
        sum += v[i];
        square += v[i] * v[i];
    }
    for (int c = 0; c < CELLS; c++)
        cr_expect(fabs((double)count[c] - N / CELLS) <= 5 * sqrt(N / CELLS),
                  "cell %d: %zu", c, count[c]);
    cr_expect(fabs(sum / N) <= 5 / sqrt(N));
    cr_expect(fabs(square / N - 1) <= 5 * sqrt(2.0 / N));
    /* the tails are made in another way than the rest: P(|v| > 3.5) = 4.65e-4 */
    cr_expect(fabs((double)far - 4.6526e-4 * N) <= 5 * sqrt(4.6526e-4 * N), "%zu", far);
}

Test(random, streams_of_one_seed_and_seeds_of_one_stream_have_nothing_in_common)
{
    enum { N = 20000 };
    static double a[N], b[N];
    static const uint64_t other[][2] = {
        {5, 1}, {6, 0}, {5, 1ull << 40}, {5ull << 32, 0}};
    struct bt_random random;

    bt_random_start(&random, 5, 0);
    bt_random_normals(&random, N, a);
    for (size_t k = 0; k < sizeof other / sizeof *other; k++) {
        double along = 0;

        bt_random_start(&random, other[k][0], other[k][1]);
        bt_random_normals(&random, N, b);
        for (int i = 0; i < N; i++)
            along += a[i] * b[i];
        cr_expect(fabs(along) <= 5 * sqrt(N), "row %zu: %g", k, along);
        cr_expect(memcmp(a, b, sizeof a) != 0);
    }
}
