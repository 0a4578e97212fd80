/* SPDX-License-Identifier: GPL-3.0-or-later */

/* Every allocation of the stock of the sample, its text and JSON fails once in turn: a
 * clean error each time, and no leak. */
#include <criterion/criterion.h>

#include <cjson/cJSON.h>
#include <math.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/report/stock_result.h"
#include "support/memory.h"

static void *take(size_t size)
{
    return bt_mem_resize(NULL, size);
}

static enum bt_status answer_all(const struct bt_job *job)
{
    const struct bt_text_options details = {.details = true};
    struct bt_stock_answer answer = {0};
    struct bt_buffer text = {0}, json = {0};
    struct bt_error err = {0};
    enum bt_status status = bt_stock_answer_find(job, &answer, &err);

    if (status == BT_OK)
        status = bt_text_stock(&answer, &details, &text);
    if (status == BT_OK)
        status = bt_json_stock(&answer, &json);
    bt_buffer_clear(&text);
    bt_buffer_clear(&json);
    bt_stock_answer_clear(&answer);
    return status;
}

Test(stock_memory, every_failure_is_told_and_nothing_leaks)
{
    struct bt_faults faults = {0};
    struct bt_job job = {0};
    cJSON_Hooks hooks = {take, bt_free};
    enum bt_status status = BT_ENOMEM;
    size_t before, k = 1;

    cr_assert_eq(bt_job_load(BT_SAMPLE_DIR "/reading-room-table", NULL, &job, &faults),
                 BT_OK);
    cJSON_InitHooks(&hooks);
    before = memory_live();
    for (; status != BT_OK; k++) {
        cr_assert_lt(k, 20000, "never done");
        memory_fail_at(k);
        status = answer_all(&job);
        memory_fail_at(0);
        cr_assert(status == BT_OK || status == BT_ENOMEM, "call %zu gave %d", k,
                  (int)status);
        cr_assert_eq(memory_live(), before, "call %zu leaked", k);
    }
    cr_expect_gt(k, 100, "little was allocated");
    cJSON_InitHooks(NULL);
    bt_job_clear(&job);
    bt_faults_clear(&faults);
}
