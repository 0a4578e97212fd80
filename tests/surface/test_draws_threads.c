/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Threads that cannot be started; a pthread_create of the test's own says so. */
#define _GNU_SOURCE /* RTLD_NEXT */
#include <criterion/criterion.h>
#include <dlfcn.h>
#include <errno.h>
#include <pthread.h>
#include <string.h>

#include "benchtrue/surface/draws.h"

/* How many more threads start before none does; the test runs in one process. */
static int to_start = 1000, refused;

int pthread_create(pthread_t *thread, const pthread_attr_t *attributes,
                   void *(*start)(void *), void *argument)
{
    int (*real)(pthread_t *, const pthread_attr_t *, void *(*)(void *), void *);
    void *symbol = dlsym(RTLD_NEXT, "pthread_create");

    if (to_start-- <= 0) {
        refused++;
        return EAGAIN;
    }
    memcpy(&real, &symbol, sizeof real);
    return real(thread, attributes, start, argument);
}

Test(draws_threads, that_do_not_start_leave_their_work_to_the_others)
{
    enum { N = 12 };
    struct bt_point p[N];
    double covariance[N * N] = {0};
    struct bt_draws_request request = {
        .n = N, .p = p, .covariance = covariance, .draws = 500, .threads = 1};
    struct bt_drawn want[2], got[2];

    for (int i = 0; i < N; i++) {
        p[i] = (struct bt_point){100.0 * (i % 4), 80.0 * (i / 4)};
        covariance[i * N + i] = 1;
    }
    cr_assert_eq(bt_draws_run(&request, &want[0], &want[1], NULL, NULL), BT_OK);
    request.threads = 6;
    for (int some = 0; some <= 5; some++) {
        memset(got, 0, sizeof got);
        refused = 0;
        to_start = some;
        cr_expect_eq(bt_draws_run(&request, &got[0], &got[1], NULL, NULL), BT_OK);
        cr_expect_eq(refused, 5 - some);
        cr_expect_eq(memcmp(want, got, sizeof want), 0, "%d started", some);
    }
    to_start = 1000;
}
