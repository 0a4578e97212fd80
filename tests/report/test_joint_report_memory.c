/* SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Every allocation of fence, edges and glueup fails once in turn, from the files of the
 * sample to text and JSON: a clean error each time, and no leak.
 */
#include <criterion/criterion.h>

#include <cjson/cJSON.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/report/joint_json.h"
#include "benchtrue/report/joint_text.h"
#include "report/joint_fixture.h"
#include "support/memory.h"

static void *take(size_t size)
{
    return bt_mem_resize(NULL, size);
}

static const struct bt_text_options details = {.details = true};
static const struct bt_edges_request few = {BT_PATTERN_ALTERNATE_BOARDS, 50, 1};

/* Run one thing with every allocation failing in turn until none does. */
static void fail_each(enum bt_status (*thing)(const void *), const void *what)
{
    enum bt_status status = BT_ENOMEM;
    const size_t before = memory_live();
    size_t k = 1;

    for (; status != BT_OK; k++) {
        cr_assert_lt(k, 20000, "never done");
        memory_fail_at(k);
        status = thing(what);
        memory_fail_at(0);
        cr_assert(status == BT_OK || status == BT_ENOMEM, "call %zu gave %d", k,
                  (int)status);
        cr_assert_eq(memory_live(), before, "call %zu leaked", k);
    }
    cr_expect_gt(k, 2, "nothing was allocated");
}

static enum bt_status write_texts(const void *what)
{
    const struct joint_fixture *f = what;
    struct bt_buffer out = {0};
    enum bt_status status = bt_text_fence(&f->fence, &details, &out);

    if (status == BT_OK)
        status = bt_text_edges_plan(&f->edges, &details, &out);
    if (status == BT_OK)
        status = bt_text_glueup(&f->glueup, &details, &out);
    bt_buffer_clear(&out);
    return status;
}

static enum bt_status write_jsons(const void *what)
{
    const struct joint_fixture *f = what;
    struct bt_buffer out = {0};
    enum bt_status status = bt_json_fence(&f->fence, &out);

    if (status == BT_OK)
        status = bt_json_edges(&f->edges, &out);
    if (status == BT_OK)
        status = bt_json_glueup(&f->glueup, &out);
    bt_buffer_clear(&out);
    return status;
}

static enum bt_status find_fence(const void *job)
{
    struct bt_fence_answer answer = {0};
    struct bt_error err;
    enum bt_status status = bt_fence_answer_find(job, &answer, &err);

    bt_fence_answer_clear(&answer);
    return status;
}

static enum bt_status find_edges(const void *job)
{
    struct bt_edges_answer answer = {0};
    struct bt_error err;
    enum bt_status status = bt_edges_answer_find(job, &few, &answer, &err);

    bt_edges_answer_clear(&answer);
    return status;
}

static enum bt_status find_glueup(const void *job)
{
    struct bt_glueup_answer answer = {0};
    struct bt_error err;
    enum bt_status status = bt_glueup_answer_find(job, &few, &answer, &err);

    bt_glueup_answer_clear(&answer);
    return status;
}

static void with_sample(enum bt_status (*thing)(const void *))
{
    struct bt_load_options what = {.latest_only = true};
    struct bt_faults faults = {0};
    struct bt_job job = {0};

    bt_job_init(&job);
    cr_assert_eq(bt_job_load(BT_SAMPLE_DIR "/reading-room-table", &what, &job, &faults),
                 BT_OK);
    fail_each(thing, &job);
    bt_job_clear(&job);
    bt_faults_clear(&faults);
}

Test(joint_report_memory, texts_fail_cleanly_at_every_allocation)
{
    struct joint_fixture f;

    joint_fixture_init(&f);
    joint_fixture_limit(&f, 1);
    joint_fixture_dry(&f, BT_DRY_OPEN, BT_DRY_OPEN);
    fail_each(write_texts, &f);
}

Test(joint_report_memory, jsons_fail_cleanly_at_every_allocation)
{
    cJSON_Hooks hooks = {take, bt_free};
    struct joint_fixture f;

    joint_fixture_init(&f);
    joint_fixture_limit(&f, 1);
    joint_fixture_dry(&f, BT_DRY_OPEN, BT_DRY_OPEN);
    f.conflict[0] = (struct bt_edge_conflict){2, true, BT_CONFLICT_GRAIN, false};
    f.edges.plan.nconflict = 1;
    cJSON_InitHooks(&hooks);
    fail_each(write_jsons, &f);
    cJSON_InitHooks(NULL);
}

Test(joint_report_memory, a_fence_is_answered_or_fails_cleanly_at_every_allocation)
{
    with_sample(find_fence);
}

Test(joint_report_memory, edges_are_answered_or_fail_cleanly_at_every_allocation)
{
    with_sample(find_edges);
}

Test(joint_report_memory, a_glue_up_is_answered_or_fails_cleanly_at_every_allocation)
{
    with_sample(find_glueup);
}
