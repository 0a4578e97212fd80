/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/report_result.h"

#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/joint/cautions.h"
#include "benchtrue/report/document_html.h"
#include "report/report_stages.h"

/* For the summary: the stage whose heading stands last. */
static void remember(struct report *report, const char *line)
{
    const struct document_build *b = &report->build;

    if (report->nverdict < REPORT_STAGES && b->npart)
        report->verdict[report->nverdict++] =
            (struct report_verdict){b->part[b->npart - 1].text, line};
}

void report_verdict(struct report *report, struct bt_buffer *text)
{
    const char *line;

    if (!text->failed && text->text) {
        const size_t length = strcspn(text->text, "\n");

        text->text[length] = '\0';
        text->length = length;
    }
    line = kept_take(&report->build.kept, text);
    remember(report, line);
    document_verdict(&report->build, line);
}

enum bt_status report_missing(struct report *report, const char *title,
                              enum bt_status status, const struct bt_error *err)
{
    const char *why;

    if (status != BT_EINPUT && status != BT_ESINGULAR)
        return status;
    why = kept_say(&report->build.kept, "Not answered: %s.", err ? err->message : "");
    document_heading(&report->build, 2, title);
    remember(report, why);
    document_text(&report->build, why);
    return BT_OK;
}

/* The work that was answered for. */
static unsigned work_of(const struct report *r)
{
    return (r->fence.job ? BT_CAUTION_FENCE : 0u) |
           (r->edges.job ? BT_CAUTION_EDGES : 0u) |
           (r->glueup.job ? BT_CAUTION_GLUEUP : 0u) |
           (r->stock.job ? BT_CAUTION_STOCK : 0u) |
           (r->decide.job ? BT_CAUTION_DECIDE : 0u) |
           (r->opening.job || r->layout.job ? BT_CAUTION_CUT : 0u);
}

static void add_cautions(struct report *r)
{
    struct document_build *b = &r->build;
    const unsigned work = work_of(r);

    if (work == 0)
        return;
    document_heading(b, 2, "Cautions");
    document_list_begin(b, NULL);
    for (size_t i = 0; i < bt_caution_count(); i++) {
        const struct bt_caution *c = bt_caution_at(i);

        if (c->when & work && !bt_caution_has_size(c))
            document_cell(b, kept_say(&b->kept, "%s (%s)", c->text, c->source));
    }
}

static void add_sources(struct report *r)
{
    struct document_build *b = &r->build;
    const struct bt_limits *limits = &r->job->limits;
    const struct bt_band *band =
        *limits->use ? bt_band_find(limits->use, strlen(limits->use)) : NULL;

    document_heading(b, 2, "How it was reckoned");
    document_list_begin(b, NULL);
    document_cell(b,
                  "Readings are adjusted by weighted least squares; heights are over "
                  "their least-squares plane; a figure that they cannot show is "
                  "called not seen and gets no number.");
    document_cell(b,
                  "Cup, bow and twist: coefficients of a second-order surface fitted "
                  "to the heights. Range, zone and local: largest figures, with an "
                  "interval from repeated draws of the noise.");
    document_cell(b,
                  "Verdicts follow JCGM 106:2012: within, over, or too close to call "
                  "at the confidence that the job states.");
    for (int i = 0; band && i < BT_FIGURE_COUNT; i++)
        if (*band->source[i])
            document_cell(b, kept_say(&b->kept, "Limit of %s for the use %s: %s.",
                                      bt_figure_name((enum bt_figure)i), band->use,
                                      band->source[i]));
}

/* What every stage says, before the first of them. */
static void add_summary(struct report *r)
{
    struct document_build *b = &r->build;
    const size_t from = b->npart;

    if (r->nverdict == 0)
        return;
    document_heading(b, 2, "In short");
    document_table_begin(b, 2, 0);
    document_cell(b, "stage");
    document_cell(b, "what it says, and what is next");
    for (size_t i = 0; i < r->nverdict; i++) {
        document_cell(b, r->verdict[i].stage);
        document_cell(b, r->verdict[i].verdict);
    }
    document_move(b, from, r->summary_at);
}

static enum bt_status write_all(struct report *r,
                                enum bt_status (*const stage[])(struct report *,
                                                                struct bt_error *),
                                size_t n, struct bt_error *err)
{
    enum bt_status status = BT_OK;

    for (size_t i = 0; i < n && status == BT_OK; i++)
        status = stage[i](r, err);
    if (status == BT_OK) {
        add_cautions(r);
        add_sources(r);
        add_summary(r);
    }
    return status;
}

static enum bt_status make_file(const struct bt_document *document,
                                const struct bt_report_request *request,
                                struct bt_figure_bytes *out, struct bt_error *err)
{
    struct bt_buffer html = {0};
    enum bt_status status;

    if (request->pdf)
        return bt_document_pdf(document, request->paper, out, err);
    status = bt_document_html(document, &html, err);
    if (status == BT_OK) {
        /* both come from bt_alloc */
        *out = (struct bt_figure_bytes){.length = html.length,
                                        .bytes = (unsigned char *)html.text};
        return BT_OK;
    }
    bt_buffer_clear(&html);
    return status;
}

static void clear(struct report *r)
{
    document_build_clear(&r->build);
    bt_decide_answer_clear(&r->decide);
    bt_fence_answer_clear(&r->fence);
    bt_edges_answer_clear(&r->edges);
    bt_glueup_answer_clear(&r->glueup);
    bt_trend_answer_clear(&r->trend);
    bt_stock_answer_clear(&r->stock);
    bt_opening_answer_clear(&r->opening);
    bt_layout_report_clear(&r->layout);
    bt_layout_report_clear(&r->laid);
    bt_movement_answer_clear(&r->movement);
    bt_free(r);
}

/* Two jobs are told apart by their folders where they have no title. */
static const char *title_of(const struct bt_job *job)
{
    const char *slash = strrchr(job->folder, '/');
    const char *last = slash ? slash + 1 : job->folder;

    return *job->title ? job->title : *last && *last != '.' ? last : "Panel";
}

enum bt_status bt_report_make(const struct bt_job *job,
                              const struct bt_report_request *request,
                              struct bt_figure_bytes *out, struct bt_error *err)
{
    enum bt_status (*const stages[])(struct report *, struct bt_error *) = {
        report_made,  report_stock, report_joints,
        report_panel, report_after, report_fit};
    struct bt_document document = {.title = title_of(job), .date = job->date};
    struct report *r = bt_alloc(1, sizeof *r);
    enum bt_status status = BT_ENOMEM;

    if (!r)
        return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    r->job = job;
    r->text = (struct bt_text_options){.system = job->system, .chosen = true};
    document.subtitle =
        *job->client ? kept_say(&r->build.kept, "For %s", job->client) : "";
    status = write_all(r, stages, sizeof stages / sizeof *stages, err);
    if (status == BT_OK)
        status = report_foot(r, request->version, &document.foot, err);
    if (status == BT_OK && document_done(&r->build, &document) != BT_OK)
        status = bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    if (status == BT_OK)
        status = make_file(&document, request, out, err);
    clear(r);
    return status;
}
