/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes: a finite value with a step and a unit of the right dimension, or a
 * refusal with a place in the text and a message that can be shown.  The input is
 * tried whole and cell by cell, so that tables and job files serve as seeds. */
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "base/utf8.h"
#include "benchtrue/base/feeler.h"
#include "benchtrue/base/print.h"
#include "benchtrue/base/quantity.h"
#include "fuzz.h"

static void must(bool holds)
{
    if (!holds)
        abort();
}

/* A unit for bare numbers of each dimension. */
static const enum bt_unit bare[] = {
    [BT_DIM_NUMBER] = BT_UNIT_ONE,      [BT_DIM_LENGTH] = BT_UNIT_IN,
    [BT_DIM_ANGLE] = BT_UNIT_DEG,       [BT_DIM_SLOPE] = BT_UNIT_DEG,
    [BT_DIM_PERCENT] = BT_UNIT_PERCENT, [BT_DIM_TEMPERATURE] = BT_UNIT_FAHRENHEIT,
    [BT_DIM_FORCE] = BT_UNIT_LBF,       [BT_DIM_PRESSURE] = BT_UNIT_PSI,
    [BT_DIM_TIME] = BT_UNIT_HOUR,       [BT_DIM_DENSITY] = BT_UNIT_KG_PER_M3,
};

static void check_refusal(const char *text, size_t length, const struct bt_error *err)
{
    size_t characters = bt_utf8_count(text, length), at = 0, n;
    size_t bytes = strlen(err->message);
    uint32_t code;

    must(err->code == BT_EINPUT);
    must(err->column >= 1 && err->column <= (characters ? characters : 1));
    must(bytes > 0 && bytes < sizeof err->message - 1);
    for (; at < bytes; at += n) {
        n = bt_utf8_next(err->message + at, bytes - at, &code);
        must(code >= 0x20 && code != 0x7F && code != BT_UTF8_BAD);
    }
}

static bool belongs(enum bt_unit unit, enum bt_dimension dim)
{
    return bt_unit_dimension(unit) == dim ||
           (dim == BT_DIM_SLOPE && bt_unit_dimension(unit) == BT_DIM_ANGLE);
}

static void try_quantity(const char *text, size_t length, enum bt_dimension dim,
                         enum bt_unit unit, bool comma)
{
    struct bt_quantity q, again;
    struct bt_error err = {BT_OK, 0, 0, ""};
    enum bt_status status = bt_quantity_parse(text, length, dim, unit, comma, &q, &err);
    char out[BT_PRINT_ROOM];

    must(bt_quantity_parse(text, length, dim, unit, comma, &again, NULL) == status);
    if (status != BT_OK) {
        must(status == BT_EINPUT);
        check_refusal(text, length, &err);
        return;
    }
    must(isfinite(q.value) && isfinite(q.step) && q.step > 0);
    must(q.unit != BT_UNIT_NONE && belongs(q.unit, dim));
    must(q.unit_typed || q.unit == unit);
    if (dim == BT_DIM_LENGTH && fabs(q.value) < 1e300 && q.step < 1e300) {
        bt_print_length(out, q.value, q.step, BT_SYSTEM_IN, BT_LENGTH_FEELER);
        must(strlen(out) < BT_PRINT_ROOM);
        must(bt_quantity_parse(out, strlen(out), dim, BT_UNIT_NONE, false, &again,
                               NULL) == BT_OK);
        must(fabs(again.value - q.value) <=
             fmax(fmax(q.step, again.step), 1e-9 * fabs(q.value)));
    }
}

static void try_gap(const char *text, size_t length, enum bt_unit unit, bool comma)
{
    static const struct bt_feeler feelers[] = {{"paper", 0.1, 0}, {"card", 0.25, 0}};
    struct bt_error err = {BT_OK, 0, 0, ""};
    struct bt_gap gap;
    enum bt_status status =
        bt_gap_parse(text, length, unit, comma, 2, feelers, &gap, &err);

    if (status != BT_OK) {
        must(status == BT_EINPUT);
        check_refusal(text, length, &err);
        return;
    }
    must(isfinite(gap.low) && isfinite(gap.high) && isfinite(gap.step));
    must(gap.low >= 0 && gap.step >= 0);
    must(gap.kind == BT_GAP_EXACT ? !(gap.low < gap.high) && !(gap.high < gap.low)
                                  : gap.low < gap.high);
    must(gap.kind != BT_GAP_BELOW || !(gap.low > 0));
    must(isfinite(bt_gap_value(&gap)) && bt_gap_u(&gap) >= 0);
}

static void try_text(const char *text, size_t length)
{
    for (int dim = BT_DIM_NUMBER; dim <= BT_DIM_DENSITY; dim++) {
        enum bt_dimension d = (enum bt_dimension)dim;
        try_quantity(text, length, d, bare[dim], false);
        try_quantity(text, length, d, bare[dim], true);
        if (d != BT_DIM_NUMBER)
            try_quantity(text, length, d, BT_UNIT_NONE, false);
    }
    try_gap(text, length, BT_UNIT_MM, false);
    try_gap(text, length, BT_UNIT_NONE, true);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    /* A block of exactly this size, so that reading past its end is seen. */
    char *text = malloc(size ? size : 1);
    size_t from = 0, at;

    must(text != NULL);
    if (size)
        memcpy(text, data, size);
    try_text(text, size);
    for (at = 0; at <= size; at++) {
        if (at < size && !strchr(",;\t\n=", text[at]))
            continue;
        if (at - from < size)
            try_text(text + from, at - from);
        from = at + 1;
    }
    free(text);
    return 0;
}
