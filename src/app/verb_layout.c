/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/say.h"
#include "app/verb_job.h"
#include "benchtrue/report/layout_result.h"
#include "benchtrue/report/opening_result.h"

static enum exit_code draw(const struct options *options,
                           const struct bt_layout_report *answer)
{
    struct bt_figure_bytes bytes = {0};
    enum bt_figure_format format;
    struct bt_error err = {0};
    enum bt_status status;

    /* The verdict is worth having all the same. */
    if (!answer->best.plan.found)
        return say(EXIT_DONE, "--figure: nothing is drawn: there is no layout of these "
                              "boards");
    status = bt_figure_format_of(options->figure, &format, &err);
    if (status == BT_OK)
        status = bt_layout_draw(answer, format, &bytes, &err);
    return verb_figure_save(options, status, &err, &bytes);
}

/* Where an opening was measured, the piece has the outline that it asks for. */
static enum bt_status find(const struct bt_job *job, struct bt_layout_report *report,
                           struct bt_error *err)
{
    struct bt_opening_answer opening = {0};
    enum bt_status status = BT_OK;

    if (job->opening.nreading)
        status = bt_opening_answer_find(job, &opening, err);
    if (status == BT_OK)
        status = bt_layout_report_find(
            job, opening.has_piece ? &opening.piece.outline : NULL, report, err);
    bt_opening_answer_clear(&opening);
    return status;
}

static enum exit_code answer_it(const struct options *options, const struct bt_job *job)
{
    const struct bt_text_options text = verb_text_options(options, job);
    struct bt_layout_report report = {0};
    struct bt_buffer out = {0};
    struct bt_error err = {0};
    enum bt_status status = find(job, &report, &err);
    enum exit_code code = EXIT_DONE;

    if (status != BT_OK)
        code = verb_job_failed(options, status, &err);
    else if (options->figure)
        code = draw(options, &report);
    if (code == EXIT_DONE) {
        if ((options->json ? bt_json_layout(&report, &out)
                           : bt_text_layout(&report, &text, &out)) != BT_OK)
            out.failed = true;
        code = print_result(&out, verb_exit(bt_layout_report_verdict(&report)));
    }
    bt_buffer_clear(&out);
    bt_layout_report_clear(&report);
    return code;
}

enum exit_code run_layout(struct options *options)
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
