/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as fence.csv and as dryfit.csv: checks and gaps that the analysis can take
 * as they are, or a fault with its place and message. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "fuzz.h"
#include "ingest/load.h"

enum { BOARDS = 4 };

static void must(int holds)
{
    if (!holds)
        abort();
}

static void check_faults(const struct bt_faults *faults)
{
    must(!faults->lost);
    for (size_t i = 0; i < faults->n; i++) {
        const struct bt_fault *fault = &faults->item[i];

        must(fault->code == BT_EINPUT && fault->message[0] != '\0');
        must(fault->line >= 1 && fault->column >= 1);
        must(memchr(fault->message, '\0', sizeof fault->message) != NULL);
        for (const char *c = fault->message; *c; c++)
            must((unsigned char)*c >= ' ' && *c != 0x7F);
    }
}

static void check_fence(const struct bt_fence_setup *fence)
{
    must(fence->ncheck <= BT_FENCE_MOST_CHECKS);
    for (size_t i = 0; i < fence->ncheck; i++) {
        const struct bt_fence_check *check = &fence->check[i];
        double e, u;

        bt_fence_check_error(check, &e, &u);
        must(fabs(e) <= BT_FENCE_MOST_ERROR && u > 0 && isfinite(u));
        must(check->u_own >= 0 && isfinite(check->u_own));
        must(isnan(check->station) ||
             (check->station >= 0 && check->station <= fence->length));
        must(check->source >= 2);
        must(i == 0 || check->source > check[-1].source);
    }
}

static void check_dry_fit(const struct bt_job *job)
{
    for (size_t i = 0; i < job->ndry_fit; i++) {
        const struct bt_dry_fit *fit = &job->dry_fit[i];

        must(fit->joint < BOARDS - 1 && fit->ngap >= 1);
        must(i == 0 || fit->joint > fit[-1].joint);
        for (size_t k = 0; k < fit->ngap; k++) {
            const struct bt_dry_gap *gap = &fit->gap[k];

            must(gap->at >= 0 && gap->at <= fit->length);
            must(gap->gap >= 0 && gap->gap <= BT_GAP_MOST);
            must(gap->u > 0 && isfinite(gap->u));
        }
    }
}

/* Four boards that are called 1, 2, 2-3 and b. */
static int start(struct bt_job *job)
{
    static const char *const names[BOARDS] = {"1", "2", "2-3", "b"};

    memset(job, 0, sizeof *job);
    bt_job_init(job);
    job->unit = BT_UNIT_MM;
    job->panel.length = 1200;
    job->fence.length = 900;
    job->fence.height = 100;
    job->board = bt_alloc(BOARDS, sizeof *job->board);
    if (!job->board)
        return 0;
    for (; job->nboard < BOARDS; job->nboard++) {
        struct bt_board *board = &job->board[job->nboard];

        board->length = NAN;
        board->name = bt_copy_text(names[job->nboard], strlen(names[job->nboard]));
    }
    job->board[0].length = 1100;
    return 1;
}

static void take(const struct bt_table *table,
                 enum bt_status (*taker)(struct bt_load *, const struct bt_table *))
{
    struct bt_faults faults = {0};
    struct bt_job job;
    struct bt_load load = {.job = &job, .faults = &faults};

    if (start(&job) && taker(&load, table) == BT_OK && faults.n == 0) {
        check_fence(&job.fence);
        check_dry_fit(&job);
    }
    check_faults(&faults);
    bt_notes_free(load.notes.item, load.notes.n);
    bt_job_clear(&job);
    bt_faults_clear(&faults);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct bt_faults faults = {0};
    struct bt_table table;

    if (bt_table_parse((const char *)data, size, "fuzz.csv", &table, &faults) ==
        BT_OK) {
        take(&table, bt_fence_take);
        take(&table, bt_dry_fit_take);
    }
    bt_table_clear(&table);
    bt_faults_clear(&faults);
    return 0;
}
