/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Each allocation of an evaluation fails in turn; links support/memory.c. */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/surface/flatness.h"
#include "benchtrue/surface/lsq.h"
#include "support/builder.h"
#include "support/memory.h"

static void quiet_gsl(void)
{
    gsl_set_error_handler_off();
}

TestSuite(memory, .init = quiet_gsl);

static double wavy(double x, double y)
{
    return 0.4 * sin(x / 210) - 0.3 * cos(y / 130) + 1e-6 * x * y;
}

static struct bt_point at(int i, int j)
{
    return (struct bt_point){200.0 * i, 150.0 * j};
}

static void lines(struct builder *b)
{
    for (int j = 0; j < 3; j++)
        builder_run(b, at(0, j), at(4, j), 5);
    for (int i = 0; i < 5; i++)
        builder_run(b, at(i, 0), at(i, 2), 3);
    for (size_t g = 0; g < b->r.ngroup; g++) {
        b->r.group[g].straightness = 0.05;
        b->r.group[g].instrument = (int)(g % 2);
    }
}

static void heights(struct builder *b)
{
    const struct bt_point p[6] = {at(0, 0), at(4, 0), at(0, 2),
                                  at(2, 1), at(3, 1), at(4, 2)};

    builder_heights(b, 3, 6, p);
}

/* All ways of solving: lines fast, lines whole, sparse, eigen, sticks on their own. */
enum { FAST, WHOLE, SPARSE, EIGEN, STICKS, ONE_REFERENCE, SCHEMES };

static void build(struct builder *b, int scheme)
{
    builder_init(b, 0.02, wavy);
    if (scheme == STICKS) {
        builder_wind(b, 0, 1000, 0, 300, 400);
        builder_wind(b, 30, 900, 20, 280, 400);
        return;
    }
    if (scheme == ONE_REFERENCE) {
        heights(b);
        return;
    }
    lines(b);
    if (scheme == FAST || scheme == SPARSE)
        heights(b);
    if (scheme == SPARSE || scheme == EIGEN)
        builder_bar(b, BT_NO_GROUP, at(0, 0), at(2, 0), at(4, 0));
}

static void expect_no_memory(int scheme, const struct builder *b, size_t k)
{
    const size_t before = memory_live();
    struct bt_flatness f;
    struct bt_error err = {0};
    enum bt_status status;

    memory_fail_at(k);
    status = bt_flatness_evaluate(
        &b->r,
        &(struct bt_flatness_options){.length = 1000,
                                      .one_reference = scheme == ONE_REFERENCE},
        &f, &err);
    cr_expect_eq(status, BT_ENOMEM, "scheme %d, call %zu: %d %s", scheme, k,
                 (int)status, err.message);
    cr_expect_eq(err.code, BT_ENOMEM, "scheme %d, call %zu", scheme, k);
    cr_expect_str_eq(err.message, "out of memory", "scheme %d, call %zu: %s", scheme, k,
                     err.message);
    bt_flatness_clear(&f);
    cr_expect_eq(memory_live(), before, "scheme %d, call %zu: %zu blocks kept", scheme,
                 k, memory_live() - before);
    memory_fail_from(k);
    status = bt_flatness_evaluate(
        &b->r,
        &(struct bt_flatness_options){.length = 1000,
                                      .one_reference = scheme == ONE_REFERENCE},
        &f, NULL);
    cr_expect_eq(status, BT_ENOMEM, "scheme %d, all from call %zu", scheme, k);
    bt_flatness_clear(&f);
    cr_expect_eq(memory_live(), before, "scheme %d, all from call %zu", scheme, k);
}

Test(memory, an_evaluation_says_so_when_any_allocation_fails_and_keeps_none)
{
    for (int scheme = 0; scheme < SCHEMES; scheme++) {
        struct builder b;
        struct bt_flatness f;
        size_t before, count;

        memory_fail_at(0);
        build(&b, scheme);
        before = memory_live();
        memory_fail_at(0);
        cr_assert_eq(bt_flatness_evaluate(
                         &b.r,
                         &(struct bt_flatness_options){
                             .length = 1000, .one_reference = scheme == ONE_REFERENCE},
                         &f, NULL),
                     BT_OK);
        count = memory_calls();
        cr_assert(count > 20, "scheme %d: %zu calls", scheme, count);
        cr_expect_eq(f.nunseen == 0,
                     scheme == FAST || scheme == SPARSE || scheme == ONE_REFERENCE,
                     "scheme %d", scheme);
        bt_flatness_clear(&f);
        cr_assert_eq(memory_live(), before, "scheme %d", scheme);
        for (size_t k = 1; k <= count; k++)
            expect_no_memory(scheme, &b, k);
        /* and then, with memory again, all goes well */
        memory_fail_at(0);
        cr_expect_eq(bt_flatness_evaluate(
                         &b.r,
                         &(struct bt_flatness_options){
                             .length = 1000, .one_reference = scheme == ONE_REFERENCE},
                         &f, NULL),
                     BT_OK);
        cr_expect_eq(memory_calls(), count, "scheme %d", scheme);
        bt_flatness_clear(&f);
        builder_clear(&b);
        cr_expect_eq(memory_live(), 0, "scheme %d", scheme);
    }
}

Test(memory, a_failed_share_leaves_the_network_as_it_was)
{
    struct builder b;
    struct bt_network *net;
    double *z, *u, *dy;
    size_t count;

    memory_fail_at(0);
    build(&b, FAST);
    cr_assert_eq(bt_network_adjust(&b.r, &net, NULL), BT_OK);
    z = bt_alloc(2 * net->npoint, sizeof *z);
    u = z + net->npoint;
    dy = bt_alloc(net->nobs, sizeof *dy);
    cr_assert(z && dy);
    dy[0] = 1;
    for (count = 1; count < 50; count++) {
        enum bt_status status;
        memory_fail_at(count);
        status = bt_network_share(net, dy);
        memory_fail_at(0);
        if (status == BT_OK)
            break;
        cr_expect_eq(status, BT_ENOMEM);
        cr_expect_eq(net->nshared, 0);
        cr_expect_eq(bt_network_heights(net, z, u, NULL), BT_OK);
    }
    cr_expect(count > 2 && count < 50);
    cr_expect_eq(net->nshared, 1);
    bt_network_free(net);
    bt_free(z);
    bt_free(dy);
    builder_clear(&b);
    cr_expect_eq(memory_live(), 0);
}

Test(memory, a_least_squares_fit_leaves_its_outputs_alone_when_memory_fails)
{
    const double x[] = {1, 0, 1, 1, 1, 2, 1, 3}, y[] = {1, 3, 5, 7.5};
    double coef[2];
    size_t k;

    for (k = 1; k < 50; k++) {
        enum bt_status status;
        coef[0] = coef[1] = 42;
        memory_fail_at(k);
        status = bt_lsq_fit(4, 2, x, y, coef, NULL, NULL, NULL, NULL);
        memory_fail_at(0);
        if (status == BT_OK)
            break;
        cr_expect_eq(status, BT_ENOMEM, "call %zu", k);
        cr_expect(coef[0] == 42 && coef[1] == 42, "call %zu", k);
        cr_expect_eq(memory_live(), 0, "call %zu", k);
    }
    cr_expect(k > 1 && k < 50);
    cr_expect(fabs(coef[1] - 2.15) <= 1e-12);
}
