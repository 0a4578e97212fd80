/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/say.h"
#include "app/verb_job.h"
#include "benchtrue/base/alloc.h"
#include "benchtrue/draw/figure_movement.h"
#include "benchtrue/report/layout_result.h"
#include "benchtrue/report/movement_text.h"
#include "benchtrue/report/opening_result.h"

static enum exit_code draw(const struct options *options,
                           const struct bt_movement_answer *a)
{
    struct bt_fixing_way *way = bt_alloc(a->nfixing, sizeof *way);
    bool *enough = bt_alloc(a->nfixing, sizeof *enough);
    const struct bt_movement_figure input = {.job = a->job,
                                             .length = a->length,
                                             .seasons = &a->seasons,
                                             .back = &a->back,
                                             .front = &a->front,
                                             .way = way,
                                             .enough = enough};
    struct bt_figure_bytes bytes = {0};
    enum bt_figure_format format;
    struct bt_error err = {0};
    enum bt_status status = bt_figure_format_of(options->figure, &format, &err);
    enum exit_code code;

    if (status == BT_OK && (!way || !enough))
        status = bt_error_set(&err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    for (size_t i = 0; status == BT_OK && i < a->nfixing; i++) {
        way[i] = a->fixing[i].way;
        enough[i] = a->fixing[i].moves == BT_WITHIN;
    }
    if (status == BT_OK)
        status = bt_figure_movement(&input, format, &bytes, &err);
    code = verb_figure_save(options, status, &err, &bytes);
    bt_free(way);
    bt_free(enough);
    return code;
}

/* What other answers say of the piece; they outlive that of `movement`. */
struct others {
    struct bt_opening_answer opening;
    struct bt_layout_report layout;
};

/* Boards that were glued and read lie as boards.csv lists them, whatever would have
 * been better.  A layout that cannot be asked for is `layout`'s to tell. */
static enum bt_status lay(const struct bt_job *job, struct others *others,
                          struct bt_movement_piece *piece)
{
    struct bt_layout_report *layout = &others->layout;
    enum bt_status status;

    if (!job->nboard || job->nset || (!piece->fitted && !(job->layout.width > 0)))
        return BT_OK;
    status = bt_layout_report_find(job, piece->fitted ? &piece->fitted->outline : NULL,
                                   layout, NULL);
    /* turned on the blank the joints run slanting: no strip has one width */
    if (status == BT_OK && !layout->needs_turn)
        piece->plan = &layout->best.plan;
    return status == BT_ENOMEM ? status : BT_OK;
}

static enum bt_status find(const struct bt_job *job, struct others *others,
                           struct bt_movement_answer *answer, struct bt_error *err)
{
    struct bt_movement_piece piece = {.opening = &job->opening.plan};
    enum bt_status status = BT_OK;

    if (job->opening.nreading)
        status = bt_opening_answer_find(job, &others->opening, err);
    if (others->opening.has_piece)
        piece.fitted = &others->opening.piece;
    if (status == BT_OK && lay(job, others, &piece) != BT_OK)
        status = bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
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
