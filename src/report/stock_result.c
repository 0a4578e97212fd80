/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/stock_result.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/wood/moisture.h"
#include "benchtrue/wood/wood.h"

/* ---- what the wood comes to ---- */

static void find_room(const struct bt_job *job, struct bt_stock_answer *out)
{
    const struct bt_climate *climate = &job->climate;
    const size_t latest = bt_job_latest(job);

    out->room = climate->now.moisture;
    out->room_source = "now, [climate]";
    if (isnan(out->room)) {
        out->room = (climate->driest.moisture + climate->dampest.moisture) / 2;
        out->room_source = "midway between driest and dampest, [climate]; Peck, FPL "
                           "Report 1655 (seen)";
    }
    if (isnan(out->room) && latest < job->nset &&
        !isnan(job->set[latest].humidity + job->set[latest].temperature) &&
        bt_moisture_of_air(job->set[latest].temperature, job->set[latest].humidity,
                           &out->room, NULL) == BT_OK)
        out->room_source = "air of the latest readings";
    if (isnan(out->room))
        out->room_source = "";
}

/* Change of a thickness, which lies radial or tangential: nobody says which. */
static enum bt_status find_wood(const struct bt_job *job, size_t i,
                                struct bt_stock_answer *out, struct bt_error *err)
{
    const char *species = job->stock.board[i].species;
    double radial, tangential, spread;
    struct bt_wood wood;
    enum bt_status status;

    out->c[i] = out->u_c[i] = NAN;
    if (!species || !*species)
        species = job->panel.species;
    if (!species || !*species)
        return BT_OK;
    status = bt_wood_find(species, strlen(species), &wood, err);
    if (status != BT_OK)
        return status;
    radial = wood.c_radial.value;
    tangential = wood.c_tangential.value;
    spread = (tangential - radial) / sqrt(12);
    out->c[i] = (radial + tangential) / 2;
    out->u_c[i] = sqrt(spread * spread + (wood.c_radial.u * wood.c_radial.u +
                                          wood.c_tangential.u * wood.c_tangential.u) /
                                             4);
    return BT_OK;
}

static void find_wait(const struct bt_job *job, size_t i, struct bt_stock_answer *out)
{
    const struct bt_rough_board *board = &job->stock.board[i];
    const double within = bt_stock_rule(BT_RULE_METER_PRECISION)->value;

    out->wait[i] = (struct bt_days){NAN, NAN, NAN, NAN};
    if (!isnan(board->moisture + out->room))
        bt_drying_wait(board->size[BT_STOCK_THICKNESS], false, board->moisture,
                       out->room, within, &out->wait[i], NULL);
}

static enum bt_verdict judge(const struct bt_stock_answer *answer, size_t i)
{
    const double confidence = answer->job->limits.confidence;
    const struct bt_stock_board *board = &answer->stock.board[i];
    const struct bt_stock_piece *piece = &board->piece[board->planned];

    if (isnan(answer->wanted))
        return BT_NOT_SEEN;
    /* what is not read can only take more off */
    if (piece->p <= 1 - confidence || board->trouble & BT_STOCK_NO_STRIP)
        return BT_OVER;
    if (!board->seen)
        return BT_NOT_SEEN;
    return piece->p >= confidence ? BT_WITHIN : BT_TOO_CLOSE;
}

static enum bt_status find_boards(const struct bt_job *job, struct bt_stock_answer *out,
                                  struct bt_error *err)
{
    const size_t n = job->stock.n;
    enum bt_status status = BT_OK;
    const struct bt_stock_request request = {.setup = &job->stock,
                                             .wanted = out->wanted,
                                             .kerf = out->kerf,
                                             .confidence = job->limits.confidence,
                                             .room = out->room,
                                             .c = out->c,
                                             .u_c = out->u_c};

    for (size_t i = 0; i < n && status == BT_OK; i++) {
        status = find_wood(job, i, out, err);
        find_wait(job, i, out);
    }
    if (status == BT_OK)
        status = bt_stock_find(&request, &out->stock, err);
    for (size_t i = 0; i < n && status == BT_OK; i++)
        out->verdict[i] = judge(out, i);
    return status;
}

enum bt_status bt_stock_answer_find(const struct bt_job *job,
                                    struct bt_stock_answer *out, struct bt_error *err)
{
    const size_t n = job->stock.n;

    memset(out, 0, sizeof *out);
    out->job = job;
    if (n == 0)
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "no rough board: write a row in stock.csv for each, with "
                            "board,length,width,thickness,cup,bow,twist");
    out->wanted = job->stock.thickness;
    out->wanted_source = "[stock] of job.ini";
    if (isnan(out->wanted)) {
        out->wanted = job->panel.thickness;
        out->wanted_source = isnan(out->wanted) ? "" : "[panel] of job.ini";
    }
    out->kerf = bt_work_plan_usual(&job->plan).kerf;
    out->kerf_assumed = isnan(job->plan.kerf);
    find_room(job, out);
    out->c = bt_alloc(n, sizeof *out->c);
    out->u_c = bt_alloc(n, sizeof *out->u_c);
    out->wait = bt_alloc(n, sizeof *out->wait);
    out->verdict = bt_alloc(n, sizeof *out->verdict);
    if (!out->c || !out->u_c || !out->wait || !out->verdict)
        return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    return find_boards(job, out, err);
}

void bt_stock_answer_clear(struct bt_stock_answer *answer)
{
    if (!answer)
        return;
    bt_stock_clear(&answer->stock);
    bt_free(answer->c);
    bt_free(answer->u_c);
    bt_free(answer->wait);
    bt_free(answer->verdict);
    memset(answer, 0, sizeof *answer);
}

enum bt_verdict bt_stock_answer_verdict(const struct bt_stock_answer *answer)
{
    enum bt_verdict worst = BT_WITHIN;

    if (isnan(answer->wanted))
        return BT_WITHIN;
    for (size_t i = 0; i < answer->stock.n; i++) {
        if (answer->verdict[i] == BT_OVER)
            return BT_OVER;
        if (answer->verdict[i] != BT_WITHIN)
            worst = answer->verdict[i];
    }
    return worst;
}
