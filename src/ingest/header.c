/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/header.h"

#include <stdio.h>
#include <string.h>

#include "ingest/say.h"

static const struct bt_column_spec specs[BT_ROLES] = {
    [BT_ROLE_X] = {.name = "x", .dim = BT_DIM_LENGTH},
    [BT_ROLE_Y] = {.name = "y", .dim = BT_DIM_LENGTH},
    [BT_ROLE_HEIGHT] = {.name = "height", .dim = BT_DIM_LENGTH},
    [BT_ROLE_SETUP] = {.name = "setup", .dim = BT_DIM_NUMBER},
    [BT_ROLE_LINE] = {.name = "line", .dim = BT_DIM_NUMBER},
    [BT_ROLE_AT] = {.name = "at", .dim = BT_DIM_LENGTH},
    [BT_ROLE_GAP] = {.name = "gap", .dim = BT_DIM_LENGTH},
    [BT_ROLE_FOOT1_X] = {.name = "foot1_x", .dim = BT_DIM_LENGTH},
    [BT_ROLE_FOOT1_Y] = {.name = "foot1_y", .dim = BT_DIM_LENGTH},
    [BT_ROLE_DIAL_X] = {.name = "dial_x", .dim = BT_DIM_LENGTH},
    [BT_ROLE_DIAL_Y] = {.name = "dial_y", .dim = BT_DIM_LENGTH},
    [BT_ROLE_FOOT2_X] = {.name = "foot2_x", .dim = BT_DIM_LENGTH},
    [BT_ROLE_FOOT2_Y] = {.name = "foot2_y", .dim = BT_DIM_LENGTH},
    [BT_ROLE_RISE] = {.name = "rise", .dim = BT_DIM_LENGTH},
    [BT_ROLE_X1] = {.name = "x1", .dim = BT_DIM_LENGTH},
    [BT_ROLE_Y1] = {.name = "y1", .dim = BT_DIM_LENGTH},
    [BT_ROLE_X2] = {.name = "x2", .dim = BT_DIM_LENGTH},
    [BT_ROLE_Y2] = {.name = "y2", .dim = BT_DIM_LENGTH},
    [BT_ROLE_SLOPE] = {.name = "slope", .dim = BT_DIM_SLOPE},
    [BT_ROLE_STICK] = {.name = "stick", .dim = BT_DIM_LENGTH},
    [BT_ROLE_WIND] = {.name = "wind", .dim = BT_DIM_LENGTH},
    [BT_ROLE_Z] = {.name = "z", .dim = BT_DIM_LENGTH},
    [BT_ROLE_INSTRUMENT] = {.name = "instrument", .dim = BT_DIM_NUMBER},
    [BT_ROLE_U] = {.name = "u", .dim = BT_DIM_LENGTH, .any_dim = true},
};

#define NONE BT_NO_ROLE
static const struct bt_form forms[] = {
    {BT_READ_HEIGHT,
     "x,y,height[,setup]",
     BT_ROLE_HEIGHT,
     {BT_ROLE_X, BT_ROLE_Y, NONE},
     {NONE}},
    {BT_READ_GAP, "line,at,gap", BT_ROLE_GAP, {NONE}, {BT_ROLE_LINE, BT_ROLE_AT, NONE}},
    {BT_READ_GAP,
     "line,x,y,gap",
     BT_ROLE_GAP,
     {BT_ROLE_X, BT_ROLE_Y, NONE},
     {BT_ROLE_LINE, NONE}},
    {BT_READ_BAR,
     "foot1_x,foot1_y,dial_x,dial_y,foot2_x,foot2_y,rise",
     BT_ROLE_RISE,
     {BT_ROLE_FOOT1_X, BT_ROLE_FOOT1_Y, BT_ROLE_DIAL_X, BT_ROLE_DIAL_Y, BT_ROLE_FOOT2_X,
      BT_ROLE_FOOT2_Y, NONE},
     {NONE}},
    {BT_READ_SLOPE,
     "x1,y1,x2,y2,slope",
     BT_ROLE_SLOPE,
     {BT_ROLE_X1, BT_ROLE_Y1, BT_ROLE_X2, BT_ROLE_Y2, NONE},
     {NONE}},
    {BT_READ_WIND,
     "x1,x2,y1,y2,stick,wind",
     BT_ROLE_WIND,
     {BT_ROLE_X1, BT_ROLE_Y1, BT_ROLE_X1, BT_ROLE_Y2, BT_ROLE_X2, BT_ROLE_Y1,
      BT_ROLE_X2, BT_ROLE_Y2},
     {BT_ROLE_STICK, NONE}},
    {BT_READ_SCAN, "x,y,z", BT_ROLE_Z, {BT_ROLE_X, BT_ROLE_Y, NONE}, {NONE}},
};
enum { FORMS = sizeof forms / sizeof *forms };

const char *bt_role_name(enum bt_role role)
{
    return specs[role].name;
}

bool bt_role_is_y(enum bt_role role)
{
    return strchr(specs[role].name, 'y') != NULL;
}

bool bt_header_again(const struct bt_record *record)
{
    return bt_columns_are_names(record, BT_ROLES, specs);
}

/* Is the role in a list that NONE or its length ends? */
static bool is_in(enum bt_role role, const enum bt_role list[], size_t n)
{
    for (size_t i = 0; i < n && list[i] != NONE; i++)
        if (list[i] == role)
            return true;
    return false;
}

static bool form_needs(const struct bt_form *form, enum bt_role role)
{
    return role == form->value || is_in(role, form->place, 8) ||
           is_in(role, form->needs, 4);
}

static bool form_takes(const struct bt_form *form, enum bt_role role)
{
    return form_needs(form, role) || role == BT_ROLE_INSTRUMENT || role == BT_ROLE_U ||
           (role == BT_ROLE_SETUP && form->kind == BT_READ_HEIGHT);
}

static enum bt_status header_fault(const struct bt_sheet *sheet, size_t column,
                                   const char *what, const char *which, const char *fix)
{
    return bt_fault_add(sheet->faults, BT_EINPUT, sheet->name,
                        sheet->table->record[0].line, column, "%s: '%s', %s", what,
                        which, fix);
}

static size_t place_of(const struct bt_sheet *sheet, const struct bt_column *column)
{
    return sheet->table->record[0].cell[column->index].column;
}

/* The forms whose reading column is there; more than one only for gaps. */
static const struct bt_form *form_of_value(const struct bt_sheet *sheet,
                                           const struct bt_column column[BT_ROLES])
{
    const struct bt_form *found = NULL;
    const struct bt_cell *first = &sheet->table->record[0].cell[0];
    char shown[BT_SHOWN_ROOM];

    for (size_t i = 0; i < FORMS; i++) {
        if (!column[forms[i].value].there)
            continue;
        if (found && found->value != forms[i].value) {
            header_fault(sheet, place_of(sheet, &column[forms[i].value]),
                         "two kinds of reading in one file",
                         bt_role_name(forms[i].value),
                         "put each kind into a file of its own");
            return NULL;
        }
        /* Of the two gap forms: places where there are any, else distances. */
        if (!found || (column[BT_ROLE_X].there && !column[BT_ROLE_AT].there))
            found = &forms[i];
    }
    if (!found)
        header_fault(sheet, first->column, "no column with a reading",
                     bt_fault_shown(first->text, first->length, shown),
                     "one of height, gap, rise, slope, wind, z must be there");
    return found;
}

static enum bt_status columns_missing(const struct bt_sheet *sheet,
                                      const struct bt_column column[BT_ROLES],
                                      const struct bt_form *form)
{
    char missing[BT_KNOWN_ROOM], fix[BT_KNOWN_ROOM];
    const char *names[BT_ROLES];
    size_t n = 0;

    for (int role = 0; role < BT_ROLES; role++)
        if (form_needs(form, (enum bt_role)role) && !column[role].there)
            names[n++] = bt_role_name((enum bt_role)role);
    if (!n)
        return BT_OK;
    snprintf(fix, sizeof fix, "the header of %s readings is %s",
             bt_reading_kind_name(form->kind), form->header);
    return header_fault(sheet, place_of(sheet, &column[form->value]), "columns missing",
                        bt_say_list(missing, n, names), fix);
}

static enum bt_status columns_too_many(const struct bt_sheet *sheet,
                                       const struct bt_column column[BT_ROLES],
                                       const struct bt_form *form)
{
    char fix[BT_KNOWN_ROOM];
    enum bt_status status = BT_OK;

    for (int role = 0; role < BT_ROLES; role++) {
        if (!column[role].there || form_takes(form, (enum bt_role)role))
            continue;
        snprintf(fix, sizeof fix, "the header of %s readings is %s",
                 bt_reading_kind_name(form->kind), form->header);
        status = header_fault(sheet, place_of(sheet, &column[role]),
                              "a column of other readings",
                              bt_role_name((enum bt_role)role), fix);
    }
    return status;
}

/* A u in another dimension than the reading: millimetres for a slope. */
static enum bt_status u_of_other_kind(const struct bt_sheet *sheet,
                                      const struct bt_column column[BT_ROLES],
                                      const struct bt_form *form)
{
    const struct bt_column *u = &column[BT_ROLE_U];
    bool slope = form->kind == BT_READ_SLOPE;
    const struct bt_cell *cell;
    char shown[BT_SHOWN_ROOM];

    /* A bare `u` of a slope takes its unit from each cell. */
    if (!u->there || (u->dim == BT_DIM_SLOPE) == slope)
        return BT_OK;
    cell = &sheet->table->record[0].cell[u->index];
    return header_fault(sheet, cell->column, "uncertainty of another kind",
                        bt_fault_shown(cell->text, cell->length, shown),
                        slope ? "a slope has u_mm_per_m or u_deg"
                              : "a length has u_mm or the like");
}

enum bt_status bt_header_read(const struct bt_sheet *sheet,
                              struct bt_column column[BT_ROLES],
                              const struct bt_form **form)
{
    const char *unit = sheet->unit == BT_UNIT_MM ? "mm" : "in";

    if (bt_columns_no_header(sheet->table->record, BT_ROLES, specs))
        return bt_fault_add(sheet->faults, BT_EINPUT, sheet->name,
                            sheet->table->record[0].line, 1,
                            "no header: the first row must name the columns, as "
                            "line,x_%s,y_%s,gap_%s",
                            unit, unit, unit);
    if (bt_columns_find(sheet, "readings", BT_ROLES, specs, column) != BT_OK)
        return BT_EINPUT;
    *form = form_of_value(sheet, column);
    if (!*form)
        return BT_EINPUT;
    if (columns_missing(sheet, column, *form) != BT_OK ||
        columns_too_many(sheet, column, *form) != BT_OK)
        return BT_EINPUT;
    if ((*form)->kind == BT_READ_SLOPE && column[BT_ROLE_U].there &&
        column[BT_ROLE_U].dim == BT_DIM_LENGTH &&
        sheet->table->record[0].cell[column[BT_ROLE_U].index].length == 1) {
        column[BT_ROLE_U].dim = BT_DIM_SLOPE;
        column[BT_ROLE_U].unit = column[BT_ROLE_SLOPE].unit;
    }
    return u_of_other_kind(sheet, column, *form);
}
