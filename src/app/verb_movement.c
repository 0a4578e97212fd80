/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/say.h"
#include "app/verb_job.h"
#include "benchtrue/report/layout_result.h"
#include "benchtrue/report/movement_text.h"
#include "benchtrue/report/opening_result.h"

static enum exit_code draw(const struct options *options,
                           const struct bt_movement_answer *answer)
{
    struct bt_figure_bytes bytes = {0};
    enum bt_figure_format format;
    struct bt_error err = {0};
    enum bt_status status;

    status = bt_figure_format_of(options->figure, &format, &err);
    if (status == BT_OK)
        status = bt_movement_draw(answer, format, &bytes, &err);
    return verb_figure_save(options, status, &err, &bytes);
}

/* What other answers say of the piece; they outlive that of `movement`. */
struct others {
    struct bt_opening_answer opening;
    struct bt_layout_report layout;
};

static enum bt_status find(const struct bt_job *job, struct others *others,
                           struct bt_movement_answer *answer, struct bt_error *err)
{
    struct bt_movement_piece piece = {.opening = &job->opening.plan};
    enum bt_status status = BT_OK;

    if (job->opening.nreading)
        status = bt_opening_answer_find(job, &others->opening, err);
    if (others->opening.has_piece)
        piece.fitted = &others->opening.piece;
    if (status == BT_OK)
        status = bt_movement_lay(job, &others->layout, &piece, err);
    if (status == BT_OK)
        status = bt_movement_answer_find(job, &piece, answer, err);
    return status;
}

static enum exit_code answer_it(const struct options *options, const struct bt_job *job)
{
    const struct bt_text_options text = verb_text_options(options, job);
    struct others others = {0};
    struct bt_movement_answer answer = {0};
    struct bt_buffer out = {0};
    struct bt_error err = {0};
    enum bt_status status = find(job, &others, &answer, &err);
    enum exit_code code = EXIT_DONE;

    if (status != BT_OK)
        code = verb_job_failed(options, status, &err);
    else if (options->figure)
        code = draw(options, &answer);
    if (code == EXIT_DONE) {
        if ((options->json ? bt_json_movement(&answer, &out)
                           : bt_text_movement(&answer, &text, &out)) != BT_OK)
            out.failed = true;
        code = print_result(&out, verb_exit(bt_movement_answer_verdict(&answer)));
    }
    bt_buffer_clear(&out);
    bt_movement_answer_clear(&answer);
    bt_layout_report_clear(&others.layout);
    bt_opening_answer_clear(&others.opening);
    return code;
}

enum exit_code run_movement(struct options *options)
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
