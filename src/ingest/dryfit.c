/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/load.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/date.h"
#include "benchtrue/base/alloc.h"
#include "ingest/columns.h"
#include "ingest/order.h"
#include "ingest/sure.h"

static const char dry_file[] = "dryfit.csv";

enum { JOINT, AT, SHOW_GAP, OTHER_GAP, INSTRUMENT, U, NCOLUMN };
static const struct bt_column_spec columns[NCOLUMN] = {
    {.name = "joint", .dim = BT_DIM_NUMBER},
    {.name = "at", .dim = BT_DIM_LENGTH},
    {.name = "show_gap", .dim = BT_DIM_LENGTH},
    {.name = "other_gap", .dim = BT_DIM_LENGTH},
    {.name = "instrument", .dim = BT_DIM_NUMBER},
    {.name = "u", .dim = BT_DIM_LENGTH},
};

/* A gap as typed, before it goes to its joint. */
struct typed {
    size_t joint;
    struct bt_dry_gap gap;
    enum bt_digits digits;
    double step;
};

struct fit {
    struct bt_load *load;
    struct bt_sheet sheet;
    struct bt_column column[NCOLUMN];
    size_t njoint; /* that there are */
    size_t n, room;
    struct typed *typed;
    struct bt_finest finest;
    size_t origin[BT_U_ORIGINS];
    size_t blank; /* rows without a gap */
};

/* What holds for both gaps of a row. */
struct row {
    const struct bt_record *record;
    size_t joint;
    double at, u;
    const struct bt_instrument *feelers;
    bool bad;
};

/* ---- which joint ---- */

static size_t board_of(const struct bt_job *job, const char *name, size_t length)
{
    while (length && name[length - 1] == ' ')
        length--;
    while (length && *name == ' ') {
        name++;
        length--;
    }
    for (size_t i = 0; i < job->nboard; i++)
        if (strlen(job->board[i].name) == length &&
            memcmp(job->board[i].name, name, length) == 0)
            return i;
    return job->nboard;
}

static bool is_number(const struct bt_cell *cell)
{
    for (size_t i = 0; i < cell->length; i++)
        if (!(cell->text[i] >= '0' && cell->text[i] <= '9'))
            return false;
    return cell->length > 0;
}

/* Names of two boards with a stroke between them; names may hold strokes, too. */
static bool between_boards(const struct bt_job *job, const struct bt_cell *cell,
                           size_t *first, size_t *second)
{
    for (size_t i = 1; i + 1 < cell->length; i++) {
        if (cell->text[i] != '|' && cell->text[i] != '-')
            continue;
        *first = board_of(job, cell->text, i);
        *second = board_of(job, cell->text + i + 1, cell->length - i - 1);
        if (*first < job->nboard && *second < job->nboard)
            return true;
    }
    return false;
}

static enum bt_status no_joint(struct fit *f, const struct row *row)
{
    const struct bt_cell *cell = &row->record->cell[f->column[JOINT].index];
    char shown[BT_SHOWN_ROOM];

    bt_fault_shown(cell->text, cell->length, shown);
    if (bt_is_date(cell->text, cell->length))
        return bt_cell_fault(
            &f->sheet, row->record, &f->column[JOINT],
            "a date: '%s', a spreadsheet made it of two boards such as "
            "2-3: write 2|3",
            shown);
    if (f->njoint == 1)
        return bt_cell_fault(&f->sheet, row->record, &f->column[JOINT],
                             "no such joint: '%s', the only one is 1", shown);
    return bt_cell_fault(&f->sheet, row->record, &f->column[JOINT],
                         "no such joint: '%s', joints are 1 to %zu from the back edge, "
                         "or the two boards as 2|3",
                         shown, f->njoint);
}

static enum bt_status read_joint(struct fit *f, struct row *row)
{
    const struct bt_cell *cell = &row->record->cell[f->column[JOINT].index];
    size_t first, second, number = 0;
    char shown[BT_SHOWN_ROOM];

    if (bt_cell_empty(row->record, &f->column[JOINT]))
        return bt_cell_fault(&f->sheet, row->record, &f->column[JOINT],
                             "joint is missing: type its number from the back edge, or "
                             "the two boards as 2|3");
    if (f->load->boards_bad)
        return BT_OK; /* what is wrong with them has been told */
    if (is_number(cell)) {
        for (size_t i = 0; i < cell->length && number <= f->njoint; i++)
            number = 10 * number + (size_t)(cell->text[i] - '0');
        if (number < 1 || number > f->njoint)
            return no_joint(f, row);
        row->joint = number - 1;
        return BT_OK;
    }
    if (!between_boards(f->load->job, cell, &first, &second))
        return no_joint(f, row);
    if (first + 1 != second && second + 1 != first)
        return bt_cell_fault(
            &f->sheet, row->record, &f->column[JOINT],
            "no joint between them: '%s', the two boards are not neighbours in the "
            "table of boards",
            bt_fault_shown(cell->text, cell->length, shown));
    row->joint = first < second ? first : second;
    return BT_OK;
}

/* Of the shorter of its boards, else of the panel. */
static double joint_length(const struct bt_job *job, size_t joint)
{
    double length = NAN;

    if (joint + 1 < job->nboard)
        length = fmin(job->board[joint].length, job->board[joint + 1].length);
    return isnan(length) ? job->panel.length : length;
}

static enum bt_status read_place(struct fit *f, struct row *row)
{
    double length = f->load->boards_bad ? f->load->job->panel.length
                                        : joint_length(f->load->job, row->joint);
    const struct bt_cell *cell;
    char shown[BT_SHOWN_ROOM], printed[BT_PRINT_ROOM];

    if (bt_cell_empty(row->record, &f->column[AT]))
        return bt_cell_fault(&f->sheet, row->record, &f->column[AT],
                             "at is missing: type how far from the left end the gap "
                             "was read");
    if (bt_cell_number(&f->sheet, row->record, &f->column[AT], -INFINITY, &row->at) !=
        BT_OK)
        return BT_EINPUT;
    cell = &row->record->cell[f->column[AT].index];
    bt_fault_shown(cell->text, cell->length, shown);
    if (!(row->at >= 0))
        return bt_cell_fault(&f->sheet, row->record, &f->column[AT],
                             "beyond the end of the joint: '%s', places count from the "
                             "left end, which is 0",
                             shown);
    if (row->at > length)
        return bt_cell_fault(
            &f->sheet, row->record, &f->column[AT],
            "beyond the end of the joint: '%s', it is %s long", shown,
            bt_print_length(printed, length, 0, f->load->job->system, BT_LENGTH_RULE));
    return BT_OK;
}

/* ---- gaps ---- */

static enum bt_status keep(struct fit *f, const struct typed *typed)
{
    struct typed *grown = bt_grow(f->typed, &f->room, f->n + 1, sizeof *grown);

    if (!grown)
        return BT_ENOMEM;
    f->typed = grown;
    grown[f->n++] = *typed;
    bt_finest_note(&f->finest, typed->digits, typed->step, typed->gap.gap == 0);
    return BT_OK;
}

static enum bt_status read_gap(struct fit *f, struct row *row, int column)
{
    const struct bt_job *job = f->load->job;
    const struct bt_cell *cell = &row->record->cell[f->column[column].index];
    struct typed typed = {.joint = row->joint};
    enum bt_u_origin origin;
    struct bt_gap gap;

    if (bt_cell_empty(row->record, &f->column[column]))
        return BT_OK;
    if (bt_cell_gap(&f->sheet, row->record, &f->column[column], job->nfeeler,
                    job->feeler, &gap) != BT_OK ||
        row->bad)
        return BT_OK;
    typed.gap = (struct bt_dry_gap){.at = row->at,
                                    .show = column == SHOW_GAP,
                                    .gap = bt_gap_value(&gap),
                                    .source = row->record->line};
    typed.gap.u =
        bt_sure_u(row->u, bt_gap_u(&gap), row->feelers ? row->feelers->u : NAN,
                  row->feelers ? row->feelers->resolution : NAN, &origin);
    typed.digits = gap.digits;
    typed.step = gap.step;
    f->origin[origin]++;
    if (bt_sure_note_odd(&f->load->notes, dry_file, row->record->line, cell->text,
                         cell->length, gap.odd) != BT_OK)
        return BT_ENOMEM;
    return keep(f, &typed);
}

static enum bt_status read_row(struct fit *f, const struct bt_record *record)
{
    struct row row = {.record = record, .at = NAN, .u = NAN};
    int feelers = -1;

    /* A row of a form not filled in yet: what else it holds does not matter. */
    if (bt_cell_empty(record, &f->column[SHOW_GAP]) &&
        bt_cell_empty(record, &f->column[OTHER_GAP])) {
        f->blank++;
        return BT_OK;
    }
    /* Without its joint the length is not known. */
    row.bad = read_joint(f, &row) != BT_OK || read_place(f, &row) != BT_OK;
    row.bad |= bt_cell_instrument(f->load, &f->sheet, record, &f->column[INSTRUMENT],
                                  1u << BT_INST_FEELERS, &feelers) != BT_OK;
    row.bad |= bt_cell_u(&f->sheet, record, &f->column[U], &row.u) != BT_OK;
    row.feelers = feelers >= 0 ? &f->load->job->instrument[feelers] : NULL;
    if (read_gap(f, &row, SHOW_GAP) != BT_OK)
        return BT_ENOMEM;
    return read_gap(f, &row, OTHER_GAP);
}

/* ---- the whole file ---- */

static bool header_is_right(struct fit *f)
{
    const struct bt_job *job = f->load->job;
    const char *missing = NULL;

    if (bt_columns_find(&f->sheet, "a dry fit", NCOLUMN, columns, f->column) != BT_OK)
        return false;
    for (int i = JOINT; i <= AT; i++)
        if (!missing && !f->column[i].there)
            missing = columns[i].name;
    if (!missing && !f->column[SHOW_GAP].there && !f->column[OTHER_GAP].there)
        missing = columns[SHOW_GAP].name;
    f->njoint = job->nboard ? job->nboard - 1 : job->njoint;
    if (missing)
        bt_fault_add(
            f->load->faults, BT_EINPUT, dry_file, f->sheet.table->record->line, 1,
            "no column '%s': a dry fit has joint,at and show_gap, other_gap or "
            "both",
            missing);
    else if (!f->njoint && !f->load->boards_bad)
        bt_fault_add(
            f->load->faults, BT_EINPUT, dry_file, f->sheet.table->record->line, 1,
            "no joint known: a dry fit needs two boards or more in boards.csv, "
            "or joints in [boards]");
    else
        return true;
    return false;
}

static void fill_u(struct fit *f)
{
    for (size_t i = 0; i < f->n; i++) {
        struct typed *typed = &f->typed[i];

        if (!isnan(typed->gap.u))
            continue;
        typed->gap.u =
            bt_finest_step(&f->finest, typed->digits, typed->step) / sqrt(12);
        if (isfinite(typed->gap.u))
            continue;
        bt_sure_nothing(f->load->faults, dry_file, typed->gap.source);
        return;
    }
}

static size_t joint_of(const void *typed, size_t i)
{
    return ((const struct typed *)typed)[i].joint;
}

/* Gaps of one joint, in the order in which they were typed. */
static enum bt_status add_joint(struct fit *f, size_t n, const size_t order[])
{
    struct bt_job *job = f->load->job;
    struct bt_dry_fit *fit = &job->dry_fit[job->ndry_fit];

    fit->gap = bt_alloc(n, sizeof *fit->gap);
    if (!fit->gap)
        return BT_ENOMEM;
    job->ndry_fit++;
    fit->joint = f->typed[order[0]].joint;
    fit->length = joint_length(job, fit->joint);
    for (fit->ngap = 0; fit->ngap < n; fit->ngap++)
        fit->gap[fit->ngap] = f->typed[order[fit->ngap]].gap;
    return BT_OK;
}

static enum bt_status group(struct fit *f)
{
    struct bt_job *job = f->load->job;
    size_t *order = bt_alloc(f->n, sizeof *order);
    enum bt_status status = order ? BT_OK : BT_ENOMEM;

    for (size_t i = 0; status == BT_OK && i < f->n; i++)
        order[i] = i;
    if (status == BT_OK)
        status = bt_order_buckets(f->n, order, f->njoint, joint_of, f->typed);
    if (status == BT_OK) {
        job->dry_fit = bt_alloc(f->njoint, sizeof *job->dry_fit);
        status = job->dry_fit ? BT_OK : BT_ENOMEM;
    }
    for (size_t first = 0, end; status == BT_OK && first < f->n; first = end) {
        for (end = first + 1; end < f->n; end++)
            if (joint_of(f->typed, order[end]) != joint_of(f->typed, order[first]))
                break;
        status = add_joint(f, end - first, order + first);
    }
    bt_free(order);
    return status;
}

static enum bt_status read_all(struct fit *f)
{
    struct bt_load *load = f->load;

    if (!header_is_right(f))
        return BT_OK;
    for (size_t i = 1; i < f->sheet.table->nrecord; i++)
        if (read_row(f, &f->sheet.table->record[i]) != BT_OK)
            return BT_ENOMEM;
    fill_u(f);
    if (f->blank &&
        bt_note_add(&load->notes, dry_file, 0, "%zu place%s of a joint not read",
                    f->blank, bt_say_plural(f->blank)) != BT_OK)
        return BT_ENOMEM;
    if (bt_sure_note(&load->notes, dry_file, f->origin) != BT_OK)
        return BT_ENOMEM;
    return f->load->boards_bad ? BT_OK : group(f);
}

enum bt_status bt_dry_fit_take(struct bt_load *load, const struct bt_table *table)
{
    struct fit f = {.load = load, .finest = bt_finest_none()};
    enum bt_status status;

    f.sheet = (struct bt_sheet){dry_file, table, load->job->unit, load->faults};
    status = read_all(&f);
    bt_free(f.typed);
    return status;
}

enum bt_status bt_dry_fit_read(struct bt_load *load)
{
    struct bt_table table;
    bool usable;
    enum bt_status status = bt_inside_table(load, dry_file, &table, &usable);

    if (usable)
        status = bt_dry_fit_take(load, &table);
    bt_table_clear(&table);
    return status;
}
