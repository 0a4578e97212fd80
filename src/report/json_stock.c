/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "benchtrue/report/stock_result.h"
#include "report/json_joint.h"

static const char practice[] = "common practice, no source";

static bool add_readings(cJSON *parent, const struct bt_rough_board *board)
{
    cJSON *object = cJSON_AddObjectToObject(parent, "read");

    for (int i = 0; i < BT_STOCK_READINGS; i++) {
        static const char *const keys[BT_STOCK_READINGS] = {
            "thickness_mm", "cup_mm", "bow_mm", "twist_mm", "crook_mm", "taper_mm"};
        const struct bt_measured m = {board->size[i], board->u[i],
                                      !isnan(board->size[i])};

        if (!bt_json_add_measured(object, keys[i], &m))
            return false;
    }
    return true;
}

static bool add_thickness(cJSON *parent, const char *key, double value, double u,
                          bool seen)
{
    const struct bt_measured m = {value, u, true};
    cJSON *object;

    if (!bt_json_add_measured(parent, key, &m))
        return false;
    object = cJSON_GetObjectItemCaseSensitive(parent, key);
    /* a bound is told as such: what was not read takes more */
    return seen || cJSON_AddBoolToObject(object, "bound", true);
}

static bool add_ways(cJSON *parent, const struct bt_stock_board *board)
{
    static const char *const keys[BT_STOCK_WAYS] = {"whole", "cut", "ripped",
                                                    "cut_and_ripped"};
    cJSON *object = cJSON_AddObjectToObject(parent, "ways");

    if (!object)
        return false;
    for (int way = 0; way < BT_STOCK_WAYS; way++) {
        const struct bt_stock_piece *piece = &board->piece[way];
        cJSON *item;

        if (!piece->there) {
            if (!cJSON_AddNullToObject(object, keys[way]))
                return false;
            continue;
        }
        item = cJSON_AddObjectToObject(object, keys[way]);
        if (!bt_json_add_number(item, "length_mm", piece->length) ||
            !bt_json_add_number(item, "width_mm", piece->width) ||
            !bt_json_add_count(item, "pieces_together", piece->together) ||
            !add_thickness(item, "off_mm", piece->off, piece->u_off, board->seen) ||
            !add_thickness(item, "one_face_mm", piece->one, piece->u, board->seen) ||
            !add_thickness(item, "both_faces_mm", piece->both, piece->u, board->seen) ||
            !bt_json_add_number(item, "p_makes", piece->p))
            return false;
    }
    return true;
}

static bool add_trouble(cJSON *parent, unsigned trouble)
{
    static const char *const words[] = {"short for jointer", "short for planer",
                                        "thin for planer",   "wide for jointer",
                                        "wide for planer",   "no strip"};
    cJSON *array = cJSON_AddArrayToObject(parent, "trouble");

    if (!array)
        return false;
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        cJSON *item;

        if (!(trouble & 1u << i))
            continue;
        item = cJSON_CreateString(words[i]);
        if (!item)
            return false;
        cJSON_AddItemToArray(array, item);
    }
    return true;
}

static bool add_moisture(cJSON *parent, const struct bt_stock_answer *a, size_t i)
{
    cJSON *object = cJSON_AddObjectToObject(parent, "moisture");

    return bt_json_add_number(object, "now_pct", a->job->stock.board[i].moisture) &&
           bt_json_add_number(object, "wait_least_d", a->wait[i].least) &&
           bt_json_add_number(object, "wait_middle_d", a->wait[i].middle) &&
           bt_json_add_number(object, "wait_most_d", a->wait[i].most) &&
           bt_json_add_number(object, "dries_mm", a->stock.board[i].dries);
}

static bool add_nominal(cJSON *parent, const struct bt_quarter *q, double scant)
{
    cJSON *object;

    if (!q)
        return cJSON_AddNullToObject(parent, "nominal");
    object = cJSON_AddObjectToObject(parent, "nominal");
    return bt_json_add_text(object, "name", q->name) &&
           bt_json_add_number(object, "rough_mm", q->rough) &&
           bt_json_add_number(object, "one_side_mm", q->one_side) &&
           bt_json_add_number(object, "two_sides_mm", q->two_sides) &&
           bt_json_add_number(object, "scant_mm", scant) &&
           bt_json_add_text(object, "source", q->source);
}

static bool add_board(cJSON *object, const struct bt_stock_answer *a, size_t i)
{
    static const char *const ways[BT_STOCK_WAYS] = {"whole", "cut", "ripped",
                                                    "cut_and_ripped"};
    const struct bt_rough_board *rough = &a->job->stock.board[i];
    const struct bt_stock_board *board = &a->stock.board[i];

    return bt_json_add_text(object, "board", rough->name) &&
           bt_json_add_number(object, "length_mm", rough->length) &&
           bt_json_add_number(object, "width_mm", rough->width) &&
           add_readings(object, rough) &&
           bt_json_add_text(object, "planned", ways[board->planned]) &&
           bt_json_add_text(object, "first", ways[board->first]) &&
           add_ways(object, board) &&
           bt_json_add_number(object, "longest_mm", board->longest) &&
           bt_json_add_number(object, "widest_strip_mm", board->narrowest) &&
           bt_json_add_number(object, "straight_mm", board->straight) &&
           bt_json_add_count(object, "strips", board->strips) &&
           add_trouble(object, board->trouble) &&
           add_nominal(object, rough->nominal, board->scant) &&
           add_moisture(object, a, i) &&
           bt_json_add_text(object, "verdict",
                            isnan(a->wanted) ? "" : bt_verdict_text(a->verdict[i]));
}

static bool add_boards(cJSON *root, const struct bt_stock_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(root, "boards");

    if (!array)
        return false;
    for (size_t i = 0; i < a->stock.n; i++) {
        cJSON *object = bt_json_append_object(array);

        if (!object || !add_board(object, a, i))
            return false;
    }
    return true;
}

static bool add_common(cJSON *root, const struct bt_stock_answer *a)
{
    const struct bt_stock_common *common = &a->stock.common;
    const struct bt_measured thickness = {common->thickness, common->u, true};
    cJSON *object = cJSON_AddObjectToObject(root, "common");

    return bt_json_add_measured(object, "thickness_mm", &thickness) &&
           bt_json_add_number(object, "sure_mm", common->sure) &&
           bt_json_add_text(object, "limiting",
                            a->job->stock.board[common->limiting].name) &&
           bt_json_add_number(object, "p_all", common->p) &&
           bt_json_add_number(object, "without_mm", common->without) &&
           bt_json_add_number(object, "cut_in_two_mm", common->shorter) &&
           bt_json_add_number(object, "ripped_in_two_mm", common->narrower);
}

static bool add_caution(cJSON *array, const struct bt_caution *caution,
                        const struct bt_stock_answer *a)
{
    cJSON *object = bt_json_append_object(array), *boards;

    if (!object || !bt_json_add_text(object, "text", caution->text) ||
        !bt_json_add_text(object, "source", caution->source))
        return false;
    boards = cJSON_AddArrayToObject(object, "boards");
    for (size_t i = 0; boards && i < a->stock.n; i++) {
        const struct bt_stock_board *b = &a->stock.board[i];
        const struct bt_stock_piece *piece = &b->piece[b->planned];

        if (bt_caution_applies(caution, piece->length, piece->width, piece->both) &&
            !bt_json_add_text(bt_json_append_object(boards), "board",
                              a->job->stock.board[i].name))
            return false;
    }
    return boards != NULL;
}

/* Those of the rough boards, in the state in which they are surfaced. */
static bool add_cautions(cJSON *root, const struct bt_stock_answer *a)
{
    cJSON *array = cJSON_AddArrayToObject(root, "cautions");

    for (size_t i = 0; array && i < bt_caution_count(); i++) {
        const struct bt_caution *caution = bt_caution_at(i);

        if (caution->when & (unsigned)BT_CAUTION_STOCK &&
            !add_caution(array, caution, a))
            return false;
    }
    return array != NULL;
}

enum bt_status bt_json_stock(const struct bt_stock_answer *a, struct bt_buffer *out)
{
    cJSON *root = cJSON_CreateObject();
    const bool built =
        root &&
        bt_json_add_sourced(root, "wanted_mm", a->wanted, "wanted_source",
                            a->wanted_source) &&
        bt_json_add_number(root, "allowance_mm", a->job->stock.allowance) &&
        bt_json_add_sourced(root, "kerf_mm", a->kerf, "kerf_source",
                            a->kerf_assumed ? practice : "[plan] of job.ini") &&
        bt_json_add_sourced(root, "room_pct", a->room, "room_source", a->room_source) &&
        add_boards(root, a) && add_common(root, a) &&
        add_nominal(root, bt_quarter_for(a->wanted), NAN) &&
        bt_json_add_text(root, "verdict",
                         bt_verdict_text(bt_stock_answer_verdict(a))) &&
        add_cautions(root, a);

    return bt_json_finish(root, built, out);
}
