/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/say.h"
#include "app/verb_job.h"
#include "benchtrue/report/stock_result.h"

static enum exit_code draw(const struct options *options,
                           const struct bt_stock_answer *answer)
{
    struct bt_figure_bytes bytes = {0};
    enum bt_figure_format format;
    struct bt_error err = {0};
    enum bt_status status;

    status = bt_figure_format_of(options->figure, &format, &err);
    if (status == BT_OK)
        status = bt_stock_draw(answer, format, &bytes, &err);
    return verb_figure_save(options, status, &err, &bytes);
}

static enum exit_code answer_it(const struct options *options, const struct bt_job *job)
{
    const struct bt_text_options text = verb_text_options(options, job);
    struct bt_stock_answer answer = {0};
    struct bt_buffer out = {0};
    struct bt_error err = {0};
    enum bt_status status = bt_stock_answer_find(job, &answer, &err);
    enum exit_code code = EXIT_DONE;

    if (status != BT_OK)
        code = verb_job_failed(options, status, &err);
    else if (options->figure)
        code = draw(options, &answer);
    if (code == EXIT_DONE) {
        if ((options->json ? bt_json_stock(&answer, &out)
                           : bt_text_stock(&answer, &text, &out)) != BT_OK)
            out.failed = true;
        code = print_result(&out, verb_exit(bt_stock_answer_verdict(&answer)));
    }
    bt_buffer_clear(&out);
    bt_stock_answer_clear(&answer);
    return code;
}

enum exit_code run_stock(struct options *options)
{
    struct bt_job job = {0};
    enum exit_code code = verb_figure_check(options);

    if (code == EXIT_DONE)
        code = verb_job_load(options, false, &job);
    if (code == EXIT_DONE)
        code = answer_it(options, &job);
    bt_job_clear(&job);
    return code;
}
