/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "ingest/keys.h"
#include "ingest/supports.h"

/* One position of the list, as typed. */
struct piece {
    const char *text;
    size_t length, column;
};

static bool blank(char c)
{
    return c == ' ' || c == '\t';
}

static bool is_word(const struct bt_ini_text *value, const char *word)
{
    return strlen(word) == value->length &&
           bt_names_alike(word, value->text, value->length);
}

static enum bt_status other_form(struct bt_load *load, const struct bt_ini_entry *entry)
{
    char shown[BT_SHOWN_ROOM];

    return bt_key_value_fault(
        load, entry,
        "unknown supports: '%s', write flat bench, on edge, where battens lie across "
        "it as 300 mm, 1200 mm (from the left end), or where rails lie along it as y "
        "100 mm, 600 mm (from the back edge)",
        bt_fault_shown(entry->value.text, entry->value.length, shown));
}

static enum bt_status piece_fault(struct bt_load *load,
                                  const struct bt_ini_entry *entry,
                                  const struct piece *piece, const char *what,
                                  const char *remedy)
{
    char shown[BT_SHOWN_ROOM];

    return bt_fault_add(load->faults, BT_EINPUT, "job.ini", entry->line, piece->column,
                        "%s: '%s', %s", what,
                        bt_fault_shown(piece->text, piece->length, shown), remedy);
}

/* Put it in its place among the others; they may be typed in any order. */
static enum bt_status add(struct bt_load *load, const struct bt_ini_entry *entry,
                          const struct piece *piece, double mm, struct bt_supports *out)
{
    const bool across = out->lying == BT_LYING_ALONG;
    const double size = across ? load->job->panel.width : load->job->panel.length;
    char most[BT_PRINT_ROOM], remedy[BT_KNOWN_ROOM];
    size_t at = out->n;

    if (!(mm >= 0) || mm > size) {
        if (isnan(size))
            return piece_fault(load, entry, piece, "a support beyond the panel",
                               "measure from its left end or back edge");
        snprintf(remedy, sizeof remedy, "%s 0 to %s",
                 across ? "y, across the panel, is" : "x, along the panel, is",
                 bt_print_length(most, size, 0, load->job->system, BT_LENGTH_RULE));
        return piece_fault(load, entry, piece, "a support beyond the panel", remedy);
    }
    if (out->n == BT_SUPPORTS_MAX)
        return piece_fault(load, entry, piece, "more than 16 supports",
                           "write flat bench");
    for (; at > 0 && out->at[at - 1] >= mm; at--) {
        if (!(out->at[at - 1] > mm))
            return piece_fault(load, entry, piece, "a support twice", "name it once");
        out->at[at] = out->at[at - 1];
    }
    out->at[at] = mm;
    out->n++;
    return BT_OK;
}

static enum bt_status read_piece(struct bt_load *load, const struct bt_ini_entry *entry,
                                 const struct piece *piece, struct bt_supports *out)
{
    struct bt_error err = {.code = BT_OK};
    struct bt_quantity quantity;

    if (piece->length == 0)
        return piece_fault(load, entry, piece, "a support without its place",
                           "one comma too many");
    if (!strchr("0123456789.+-", piece->text[0]))
        return other_form(load, entry);
    if (bt_quantity_parse(piece->text, piece->length, BT_DIM_LENGTH, load->job->unit,
                          false, &quantity, &err) != BT_OK)
        return bt_fault_add(load->faults, BT_EINPUT, "job.ini", entry->line,
                            piece->column + (err.column > 1 ? err.column - 1 : 0), "%s",
                            err.message);
    return add(load, entry, piece, quantity.value, out);
}

/* The panel's middle has to lie between those that carry it. */
static enum bt_status check_balance(struct bt_load *load,
                                    const struct bt_ini_entry *entry,
                                    const struct bt_supports *out)
{
    const struct bt_panel *panel = &load->job->panel;
    const double middle =
        (out->lying == BT_LYING_ALONG ? panel->width : panel->length) / 2;
    char shown[BT_SHOWN_ROOM];

    bt_fault_shown(entry->value.text, entry->value.length, shown);
    if (out->n < 2)
        return bt_key_value_fault(load, entry,
                                  "one support only: '%s', the panel would tip over, "
                                  "name two or more",
                                  shown);
    if (out->at[0] > middle || out->at[out->n - 1] < middle)
        return bt_key_value_fault(load, entry,
                                  "supports on one side of the middle: '%s', the panel "
                                  "would tip over",
                                  shown);
    return BT_OK;
}

static enum bt_status read_list(struct bt_load *load, const struct bt_ini_entry *entry,
                                struct bt_supports *out)
{
    const struct bt_ini_text *value = &entry->value;
    const char *at = value->text, *end = at + value->length;

    out->lying = BT_LYING_ACROSS;
    if (value->length > 1 && strchr("xXyY", *at) && blank(at[1])) {
        out->lying = *at == 'y' || *at == 'Y' ? BT_LYING_ALONG : BT_LYING_ACROSS;
        at++;
    }
    for (bool more = true; more;) {
        const char *comma = memchr(at, ',', (size_t)(end - at));
        const char *stop = comma ? comma : end;
        struct piece piece;

        while (at < stop && blank(*at))
            at++;
        while (stop > at && blank(stop[-1]))
            stop--;
        piece = (struct piece){
            at, (size_t)(stop - at),
            value->column + bt_text_columns(value->text, (size_t)(at - value->text))};
        if (read_piece(load, entry, &piece, out) != BT_OK)
            return BT_EINPUT;
        more = comma != NULL;
        at = comma ? comma + 1 : end;
    }
    return check_balance(load, entry, out);
}

enum bt_status bt_supports_read(struct bt_load *load, const struct bt_ini_entry *entry,
                                struct bt_supports *out)
{
    struct bt_supports read = {.lying = BT_LYING_UNKNOWN};
    enum bt_status status = BT_OK;

    if (is_word(&entry->value, "flat bench"))
        read.lying = BT_LYING_FLAT_BENCH;
    else if (is_word(&entry->value, "on edge"))
        read.lying = BT_LYING_ON_EDGE;
    else
        status = read_list(load, entry, &read);
    if (status == BT_OK)
        *out = read;
    return status;
}
