/* SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Every allocation of the room fails once in turn: a clean error each time, and no
 * leak.
 */
#include <criterion/criterion.h>

#include <cjson/cJSON.h>
#include <math.h>
#include <unistd.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/report/json.h"
#include "benchtrue/report/save.h"
#include "benchtrue/report/template.h"
#include "benchtrue/report/text.h"
#include "report/fixture.h"
#include "support/memory.h"

static void *take(size_t size)
{
    return bt_mem_resize(NULL, size);
}

static void fill(struct fixture *f)
{
    fixture_init(f);
    fixture_limit(f, BT_FIGURE_CUP, 1);
    fixture_limit(f, BT_FIGURE_TWIST, 0.85);
    fixture_limit(f, BT_FIGURE_ZONE, 1);
    fixture_limit(f, BT_FIGURE_LOCAL, 1);
    fixture_joints(f, BT_FACETS_FACETED);
    f->result.flatness.nunseen = 1;
    f->result.flatness.unseen[0] =
        (struct bt_unseen){.kind = BT_UNSEEN_TWIST, .count = 1};
    f->result.flatness.nsuspect = 1;
    f->result.flatness.suspect[0] = (struct bt_suspect){4, 0.2, 4.4, 0.001};
}

/* Run one job with every allocation failing in turn until none does. */
static void fail_each(enum bt_status (*job)(const struct fixture *))
{
    enum bt_status status = BT_ENOMEM;
    struct fixture f;
    size_t k = 1;

    fill(&f);
    for (; status != BT_OK; k++) {
        cr_assert_lt(k, 20000, "never done");
        memory_fail_at(k);
        status = job(&f);
        cr_assert(status == BT_OK || status == BT_ENOMEM, "call %zu gave %d", k,
                  (int)status);
        cr_assert_eq(memory_live(), 0, "call %zu leaked", k);
    }
    cr_expect_gt(k, 2, "nothing was allocated");
    memory_fail_at(0);
}

static enum bt_status write_text(const struct fixture *f)
{
    struct bt_text_options options = {.details = true, .nset = 2, .colour = true};
    struct bt_buffer out = {0};
    enum bt_status status = bt_text_flatness(&f->result, &options, &out);

    bt_buffer_clear(&out);
    return status;
}

static enum bt_status write_json(const struct fixture *f)
{
    struct bt_buffer out = {0};
    enum bt_status status;

    bt_buffer_text(&out, "before");
    status = bt_json_flatness(1, &f->result, true, &out);
    bt_buffer_clear(&out);
    return status;
}

static enum bt_status write_template(const struct fixture *f)
{
    static const struct bt_template what = {NAN, NAN, NAN, BT_SYSTEM_MM, "shelf"};
    static const char folder[] = "/tmp/benchtrue_memory_test";
    struct bt_error err;
    enum bt_status status = bt_template_write(&what, folder, &err);

    (void)f;
    if (status == BT_OK) {
        bt_save_undo("/tmp/benchtrue_memory_test/job.ini");
        bt_save_undo("/tmp/benchtrue_memory_test/boards.csv");
        bt_save_undo("/tmp/benchtrue_memory_test/lines.csv");
        bt_save_undo("/tmp/benchtrue_memory_test/readings.csv");
        bt_save_undo(folder);
    }
    cr_assert_neq(access(folder, F_OK), 0, "its folder is left after %zu calls",
                  memory_calls());
    return status;
}

/* From the files to the text, as the program does it. */
static enum bt_status whole_run(const struct fixture *f)
{
    struct bt_load_options what = {.only_set = "after glue-up", .blank_is_fault = true};
    struct bt_text_options options = {.details = true};
    struct bt_set_result result = {0};
    struct bt_faults faults = {0};
    struct bt_buffer out = {0};
    struct bt_job job = {0};
    struct bt_error err;
    enum bt_status status;

    (void)f;
    bt_job_init(&job);
    status = bt_job_load(BT_SAMPLE_DIR "/reading-room-table", &what, &job, &faults);
    if (status == BT_OK)
        status = bt_set_evaluate(&job, &job.set[0], NULL, &result, &err);
    if (status == BT_OK)
        status = bt_text_flatness(&result, &options, &out);
    bt_buffer_clear(&out);
    bt_set_result_clear(&result);
    bt_job_clear(&job);
    bt_faults_clear(&faults);
    return status;
}

Test(report_memory, a_whole_run_fails_cleanly_at_every_allocation)
{
    fail_each(whole_run);
}

Test(report_memory, text_fails_cleanly_at_every_allocation)
{
    fail_each(write_text);
}

Test(report_memory, json_fails_cleanly_at_every_allocation)
{
    cJSON_Hooks hooks = {take, bt_free};

    cJSON_InitHooks(&hooks);
    fail_each(write_json);
    cJSON_InitHooks(NULL);
}

Test(report_memory, template_leaves_nothing_behind_at_every_failed_allocation)
{
    fail_each(write_template);
}
