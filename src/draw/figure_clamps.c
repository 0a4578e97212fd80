/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "draw/clamps_figure.h"
#include "draw/sort.h"

/* Room for the panel on the page; names stand to the left, joints to the right. */
#define PLAN_LEFT 30.0
#define PLAN_RIGHT 30.0
#define PLAN_HIGH 105.0

static enum bt_status refuse(struct bt_error *err, size_t row, const char *why)
{
    return bt_error_set(err, BT_EINPUT, row, 0, "%s", why);
}

static enum bt_status check_panel(const struct bt_clamping_request *request,
                                  struct bt_error *err)
{
    if (request->nboard == 0)
        return refuse(err, 0, "no board: nothing to clamp");
    for (size_t i = 0; i < request->nboard; i++)
        if (!(request->width[i] > 0) || !isfinite(request->width[i]))
            return refuse(err, i, "the width of a board is not over 0 and finite");
    if (!(request->length > 0) || !isfinite(request->length))
        return refuse(err, 0, "the length of the panel is not over 0 and finite");
    if (!(request->caul >= 0) || !isfinite(request->caul))
        return refuse(err, 0, "the width of the caul is not 0 or more and finite");
    return BT_OK;
}

static enum bt_status check_places(const struct bt_clamps_figure *in,
                                   struct bt_error *err)
{
    for (size_t k = 0; k < in->plan->nplace; k++) {
        const struct bt_clamp_place *place = &in->plan->place[k];

        if (!(place->x >= 0) || !(place->x <= in->request->length))
            return refuse(err, k, "a clamp is off the panel");
        if (place->kind >= in->request->nkind)
            return refuse(err, k, "a clamp is of a kind that is not there");
    }
    return BT_OK;
}

/* f->stage: which of the stages glues each joint. */
static enum bt_status take_stages(struct clamps_figure *f, struct bt_error *err)
{
    static const char why[] = "the stages do not hold each joint once";
    const struct bt_clamping *plan = f->in->plan;
    size_t count = 0;

    for (size_t i = 0; i < f->njoint; i++)
        f->stage[i] = plan->nstage;
    for (size_t s = 0; s < plan->nstage; s++) {
        const struct bt_stage *stage = &plan->stage[s];

        if (stage->first > f->njoint || stage->count > f->njoint - stage->first)
            return refuse(err, s, why);
        for (size_t k = 0; k < stage->count; k++) {
            size_t joint = plan->order[stage->first + k];

            if (joint >= f->njoint || f->stage[joint] != plan->nstage)
                return refuse(err, s, why);
            f->stage[joint] = s;
            count++;
        }
    }
    return count == f->njoint ? BT_OK : refuse(err, plan->nstage, why);
}

static enum bt_status take_memory(struct clamps_figure *f, struct bt_error *err)
{
    size_t most = f->nboard + 2 > f->nplace ? f->nboard + 2 : f->nplace;

    f->order = bt_alloc(f->nplace, sizeof *f->order);
    f->stage = bt_alloc(f->njoint, sizeof *f->stage);
    f->at = bt_alloc(most, sizeof *f->at);
    f->label = bt_alloc(most, sizeof *f->label);
    if (f->order && f->stage && f->at && f->label)
        return BT_OK;
    return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
}

static void order_places(struct clamps_figure *f)
{
    for (size_t k = 0; k < f->nplace; k++) {
        f->order[k] = k;
        f->at[k] = f->in->plan->place[k].x;
    }
    sort_by_key(f->nplace, f->order, f->at);
}

static void fit_page(struct clamps_figure *f)
{
    double wide = CLAMPS_FULL - PLAN_LEFT - PLAN_RIGHT;

    for (size_t i = 0; i < f->nboard; i++)
        f->width += f->in->request->width[i];
    f->scale = fmin(wide / f->in->request->length, PLAN_HIGH / f->width);
    f->x0 = PAGE_MARGIN + PLAN_LEFT + (wide - f->scale * f->in->request->length) / 2;
    f->x1 = f->x0 + f->scale * f->in->request->length;
}

enum bt_status clamps_prepare(const struct bt_clamps_figure *in,
                              struct clamps_figure *f, struct bt_error *err)
{
    enum bt_status status;

    memset(f, 0, sizeof *f);
    f->in = in;
    status = check_panel(in->request, err);
    if (status == BT_OK)
        status = check_places(in, err);
    if (status != BT_OK)
        return status;
    f->nboard = in->request->nboard;
    f->njoint = f->nboard - 1;
    f->nplace = in->plan->nplace;
    status = take_memory(f, err);
    if (status == BT_OK)
        status = take_stages(f, err);
    if (status != BT_OK)
        return status;
    order_places(f);
    fit_page(f);
    return BT_OK;
}

void clamps_clear(struct clamps_figure *f)
{
    bt_free(f->order);
    bt_free(f->stage);
    bt_free(f->at);
    bt_free(f->label);
    memset(f, 0, sizeof *f);
}

const struct bt_clamp_place *clamps_place(const struct clamps_figure *f, size_t k)
{
    return &f->in->plan->place[f->order[k]];
}

const char *clamps_kind(const struct clamps_figure *f, size_t kind)
{
    const char *name = NULL;

    if (f->in->kind_name)
        name = f->in->kind_name[kind];
    else if (kind < f->in->job->nclamp)
        name = f->in->job->clamp[kind].name;
    return name && *name ? name : "clamp";
}

double clamps_draw(const void *figure, struct page *page)
{
    struct clamps_figure f = *(const struct clamps_figure *)figure;
    double y = PAGE_MARGIN;

    clamps_draw_head(&f, page, &y);
    clamps_draw_plan(&f, page, &y);
    clamps_draw_words(&f, page, &y);
    return y + PAGE_MARGIN;
}

enum bt_status bt_figure_clamps(const struct bt_clamps_figure *input,
                                enum bt_figure_format format,
                                struct bt_figure_bytes *out, struct bt_error *err)
{
    const struct bt_job *job = input->job;
    struct clamps_figure f;
    enum bt_status status = clamps_prepare(input, &f, err);

    if (status == BT_OK)
        status = page_make(clamps_draw, &f, format,
                           job->title && *job->title ? job->title : "Panel",
                           job->date ? job->date : "", out, err);
    clamps_clear(&f);
    return status;
}
