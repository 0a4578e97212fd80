/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/say.h"
#include "app/verb_job.h"
#include "benchtrue/report/opening_result.h"

static enum exit_code answer_it(const struct options *options, const struct bt_job *job)
{
    const struct bt_text_options text = verb_text_options(options, job);
    struct bt_opening_answer answer = {0};
    struct bt_buffer out = {0};
    struct bt_error err = {0};
    enum bt_status status = bt_opening_answer_find(job, &answer, &err);
    enum exit_code code = EXIT_DONE;

    if (status != BT_OK) {
        code = verb_job_failed(options, status, &err);
    } else {
        if ((options->json ? bt_json_opening(&answer, &out)
                           : bt_text_opening(&answer, &text, &out)) != BT_OK)
            out.failed = true;
        code = print_result(&out, verb_exit(bt_opening_answer_verdict(&answer)));
    }
    bt_buffer_clear(&out);
    bt_opening_answer_clear(&answer);
    return code;
}

enum exit_code run_opening(struct options *options)
{
    struct bt_job job = {0};
    enum exit_code code = verb_job_load(options, false, &job);

    if (code == EXIT_DONE)
        code = answer_it(options, &job);
    bt_job_clear(&job);
    return code;
}
