/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "joint/section_private.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

#define STEEPEST 0.7853981633974483 /* pi/4 */

const char *bt_run_name(enum bt_run run)
{
    return run == BT_RUN_IN ? "in" : "out";
}

/* ---- edges ---- */

static double between_faces(const struct bt_strip *strip)
{
    return atan(strip->taper / strip->width);
}

double bt_edge_lean(const struct bt_strip *strip, bool front, enum bt_run run, double e)
{
    double tau = between_faces(strip);

    if (run == BT_RUN_IN)
        return e;
    return front ? -e - tau : -e + tau;
}

struct bt_strip bt_strip_laid(const struct bt_strip *strip, bool turned)
{
    struct bt_strip laid = *strip;

    if (turned)
        laid.taper = -laid.taper;
    return laid;
}

struct bt_edge_view bt_edge_see(const struct bt_strip *strip,
                                const struct bt_board_run *run, bool front, double e)
{
    struct bt_strip laid = bt_strip_laid(strip, run->turned);
    enum bt_run how = front ? run->front : run->back;
    double slope = laid.taper / laid.width;
    struct bt_edge_view view = {.lean = bt_edge_lean(&laid, front, how, e),
                                .per_e = how == BT_RUN_IN ? 1 : -1,
                                .thickness = laid.thickness +
                                             (front ? laid.taper : -laid.taper) / 2};

    if (how != BT_RUN_IN)
        view.per_taper =
            (front == run->turned ? 1 : -1) / (laid.width * (1 + slope * slope));
    return view;
}

double bt_cup_share(double y, double width)
{
    return -fmin(y, width - y) / 2;
}

/* ---- checks ---- */

static enum bt_status refuse(struct bt_error *err, size_t row, const char *what)
{
    return bt_error_set(err, BT_EINPUT, row, 0, "%s", what);
}

enum bt_status bt_section_too_large(size_t n, struct bt_error *err)
{
    return refuse(err, n, "the numbers are too large or too small to compute with");
}

static const char *strip_fault(const struct bt_strip *s, double e)
{
    double tau;

    if (!(s->width > 0 && isfinite(s->width)))
        return "its width is not a number above 0";
    if (!(s->thickness > 0 && isfinite(s->thickness)))
        return "its thickness is not a number above 0";
    if (!isfinite(s->taper))
        return "its taper is not a number";
    if (!(fabs(s->taper) / 2 < s->thickness))
        return "its taper leaves an edge without thickness";
    tau = fabs(between_faces(s));
    if (!(tau + fabs(e) < STEEPEST))
        return "its faces and edges lean by 45 degrees or more";
    return NULL;
}

enum bt_status bt_section_check(size_t n, const struct bt_strip strip[],
                                const struct bt_edge_errors *errors,
                                struct bt_error *err)
{
    double width = 0;

    if (n == 0)
        return refuse(err, 0, "there are no boards");
    if (!(fabs(errors->e) < STEEPEST))
        return refuse(err, n, "the error of the fence is not below 45 degrees");
    if (!(errors->u_e >= 0 && isfinite(errors->u_e)))
        return refuse(err, n,
                      "the uncertainty of the fence is not a number of 0 or more");
    if (!(errors->scatter >= 0 && isfinite(errors->scatter)))
        return refuse(err, n, "the scatter of the edges is not a number of 0 or more");
    if (!(errors->u_taper >= 0 && isfinite(errors->u_taper)))
        return refuse(err, n,
                      "the uncertainty of the tapers is not a number of 0 or more");
    for (size_t i = 0; i < n; i++) {
        const char *fault = strip_fault(&strip[i], errors->e);

        if (fault)
            return refuse(err, i, fault);
        width += strip[i].width;
    }
    if (!isfinite(width * width))
        return bt_section_too_large(n, err);
    return BT_OK;
}

/* ---- one evaluation ---- */

struct work {
    size_t n;
    const struct bt_strip *strip;
    const struct bt_board_run *run;
    const struct bt_edge_errors *errors;
    struct bt_section *section;
};

static double square(double v)
{
    return v * v;
}

static double root_sum(double a, double b, double c)
{
    return sqrt(square(a) + square(b) + square(c));
}

static void find_joint(const struct work *w, size_t j)
{
    const struct bt_edge_errors *errors = w->errors;
    const struct bt_edge_view a =
        bt_edge_see(&w->strip[j], &w->run[j], true, errors->e);
    const struct bt_edge_view b =
        bt_edge_see(&w->strip[j + 1], &w->run[j + 1], false, errors->e);
    double thinner = fmin(a.thickness, b.thickness);
    double open = tan(a.lean) + tan(b.lean);
    /* What tan gains per rad. */
    double ga = 1 + square(tan(a.lean)), gb = 1 + square(tan(b.lean));
    struct bt_joint_kink *joint = &w->section->joint[j];

    joint->kink.value = a.lean + b.lean;
    joint->kink.u =
        root_sum((a.per_e + b.per_e) * errors->u_e, sqrt(2.0) * errors->scatter,
                 hypot(a.per_taper, b.per_taper) * errors->u_taper);
    joint->kink.seen = true;
    joint->opening.value = thinner * fabs(open);
    joint->opening.u =
        thinner * root_sum((ga * a.per_e + gb * b.per_e) * errors->u_e,
                           hypot(ga, gb) * errors->scatter,
                           hypot(ga * a.per_taper, gb * b.per_taper) * errors->u_taper);
    joint->opening.seen = true;
    joint->opens_at_show = joint->kink.value > 0;
    w->section->step = fmax(w->section->step, fabs(a.thickness - b.thickness));
    w->section->largest_kink = fmax(w->section->largest_kink, fabs(joint->kink.value));
    w->section->largest_opening =
        fmax(w->section->largest_opening, joint->opening.value);
}

static double share_of(const struct bt_section *s, size_t j)
{
    return bt_cup_share(s->joint[j].y, s->width);
}

/* What a board's taper does to the cup through both its edges, per mm. */
static double per_taper(const struct work *w, size_t i)
{
    const double e = w->errors->e;
    double sum = 0;

    if (i > 0)
        sum += share_of(w->section, i - 1) *
               bt_edge_see(&w->strip[i], &w->run[i], false, e).per_taper;
    if (i + 1 < w->n)
        sum += share_of(w->section, i) *
               bt_edge_see(&w->strip[i], &w->run[i], true, e).per_taper;
    return sum;
}

static void find_cup(const struct work *w)
{
    struct bt_section *s = w->section;
    double per_e = 0, edges = 0, tapers = 0;

    s->cup = (struct bt_measured){.seen = true};
    for (size_t j = 0; j < s->njoint; j++) {
        double share = share_of(s, j);

        s->cup.value += share * s->joint[j].kink.value;
        per_e +=
            share * (bt_edge_see(&w->strip[j], &w->run[j], true, 0).per_e +
                     bt_edge_see(&w->strip[j + 1], &w->run[j + 1], false, 0).per_e);
        edges += 2 * square(share);
    }
    for (size_t i = 0; i < w->n; i++)
        tapers += square(per_taper(w, i));
    s->cup.u = root_sum(per_e * w->errors->u_e, sqrt(edges) * w->errors->scatter,
                        sqrt(tapers) * w->errors->u_taper);
}

/* ---- the polygon ---- */

/* Corners of a board whose show face begins at 0, 0 along y. */
static struct bt_quad outline(const struct work *w, size_t i)
{
    const struct bt_strip laid = bt_strip_laid(&w->strip[i], w->run[i].turned);
    double back = bt_edge_see(&w->strip[i], &w->run[i], false, w->errors->e).lean;
    double front = bt_edge_see(&w->strip[i], &w->run[i], true, w->errors->e).lean;
    double slope = laid.taper / laid.width, half = laid.taper / 2;
    /* How far down each edge the other face is met. */
    double b = (laid.thickness - half) / (cos(back) + sin(back) * slope);
    double f = (laid.thickness + half) / (cos(front) - sin(front) * slope);

    return (struct bt_quad){
        .show_back = {0, 0},
        .show_front = {laid.width, 0},
        .other_back = {-b * sin(back), -b * cos(back)},
        .other_front = {laid.width + f * sin(front), -f * cos(front)}};
}

static void place(double corner[2], const double from[2], double angle)
{
    double y = corner[0], z = corner[1];

    corner[0] = from[0] + y * cos(angle) - z * sin(angle);
    corner[1] = from[1] + y * sin(angle) + z * cos(angle);
}

static void place_board(struct bt_quad *q, const double from[2], double angle)
{
    place(q->show_back, from, angle);
    place(q->show_front, from, angle);
    place(q->other_back, from, angle);
    place(q->other_front, from, angle);
}

/* Board after board, the first one flat, then all turned so that the end is at z 0. */
static void lay_boards(const struct work *w)
{
    static const double origin[2] = {0, 0};
    struct bt_section *s = w->section;
    const double *end = origin;
    double angle = 0;

    for (size_t i = 0; i < w->n; i++) {
        s->board[i] = outline(w, i);
        place_board(&s->board[i], end, angle);
        end = s->board[i].show_front;
        if (i < s->njoint)
            angle += s->joint[i].kink.value;
    }
    angle = -atan2(end[1], end[0]);
    for (size_t i = 0; i < w->n; i++)
        place_board(&s->board[i], origin, angle);
    s->board[w->n - 1].show_front[1] = 0;
}

static void read_polygon(const struct work *w)
{
    struct bt_section *s = w->section;
    double y = 0;
    bool found = false;

    for (size_t i = 0; i < w->n; i++) {
        const struct bt_quad *q = &s->board[i];
        double part = (s->width / 2 - y) / w->strip[i].width;

        if (!found && part <= 1) {
            s->cup_exact =
                q->show_back[1] + part * (q->show_front[1] - q->show_back[1]);
            found = true;
        }
        if (i < s->njoint && fabs(q->show_front[1]) > fabs(s->sag))
            s->sag = q->show_front[1];
        y += w->strip[i].width;
    }
}

static void place_joints(const struct work *w)
{
    struct bt_section *s = w->section;

    for (size_t i = 0; i < w->n; i++) {
        s->width += w->strip[i].width;
        if (i < s->njoint)
            s->joint[i].y = s->width;
    }
}

static bool all_finite(const struct bt_section *s)
{
    double sum = s->cup.u + s->cup_exact;

    for (size_t j = 0; j < s->njoint; j++)
        sum += s->joint[j].kink.u + s->joint[j].opening.u;
    return isfinite(sum);
}

enum bt_status bt_section_evaluate(size_t n, const struct bt_strip strip[],
                                   const struct bt_board_run run[],
                                   const struct bt_edge_errors *errors,
                                   struct bt_section *section, struct bt_error *err)
{
    struct bt_section made = {.nboard = n, .njoint = n ? n - 1 : 0};
    const struct work w = {n, strip, run, errors, &made};
    enum bt_status status = bt_section_check(n, strip, errors, err);

    if (status != BT_OK)
        return status;
    made.board = bt_alloc(n, sizeof *made.board);
    made.joint = bt_alloc(made.njoint, sizeof *made.joint);
    if (!made.board || !made.joint) {
        bt_section_clear(&made);
        return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    }
    place_joints(&w);
    for (size_t j = 0; j < made.njoint; j++)
        find_joint(&w, j);
    find_cup(&w);
    lay_boards(&w);
    read_polygon(&w);
    if (!all_finite(&made)) {
        bt_section_clear(&made);
        return bt_section_too_large(n, err);
    }
    *section = made;
    return BT_OK;
}

void bt_section_clear(struct bt_section *section)
{
    if (!section)
        return;
    bt_free(section->board);
    bt_free(section->joint);
    memset(section, 0, sizeof *section);
}
