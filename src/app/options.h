/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_APP_OPTIONS_H
#define BENCHTRUE_APP_OPTIONS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "benchtrue/base/print.h"
#include "benchtrue/ingest/job.h"
#include "benchtrue/report/buffer.h"
#include "benchtrue/report/sheets_result.h"
#include "benchtrue/surface/extremes.h"

/*
 * The command line: verbs and options are one table each, which drive parsing and
 * help.
 */

/* Exit statuses; those from 64 on as in sysexits.h of BSD. */
enum exit_code {
    EXIT_DONE = 0,       /* no stated limit, or every one within */
    EXIT_OVER = 1,       /* a stated limit is over */
    EXIT_OPEN = 2,       /* one is too close to call or not seen */
    EXIT_USAGE = 64,     /* the command line is wrong */
    EXIT_DATA = 65,      /* a file holds a fault */
    EXIT_NOINPUT = 66,   /* a file does not exist or may not be read */
    EXIT_SOFTWARE = 70,  /* our own fault, or no memory */
    EXIT_CANTCREAT = 73, /* an output cannot be created */
    EXIT_IOERR = 74      /* reading or writing failed */
};

/* What the command line asks for; set to zero and NaN by options_init. */
struct options {
    const struct verb *verb;
    const char *argument; /* the job, the folder, or the verb to help with; NULL */
    bool json, details, all;
    const char *set;
    enum bt_pattern pattern; /* BT_PATTERNS where it is not typed */
    bool system_typed;
    enum bt_system system;
    const char *length, *width, *thickness, *use; /* as typed; NULL */
    const char *figure, *figure_lines;            /* files to draw into; NULL */
    const char *since, *share;                    /* as typed; NULL */
    const char *aim, *edge, *feet, *csv;          /* as typed; NULL */
    const char *output, *outline, *paper;         /* as typed; NULL */
    bool afresh;
    size_t nof;
    const char *of[BT_SHEET_KINDS]; /* sheets, as typed */
    size_t nspan;
    const char *span[BT_SPANS_MAX]; /* as typed */
    size_t ndirection;
    const char *direction[BT_OBLIQUES_MAX]; /* as typed */
    uint64_t seed;                          /* of the draws of the noise */
    size_t draws;                           /* 0 where it is not typed */
    size_t nwithout;
    struct bt_without *without; /* freed by options_clear; names are in argv */
};

/* An exit status that a verb may give; a list ends with text NULL. */
struct verb_status {
    enum exit_code code;
    const char *text;
};

struct verb {
    const char *name;
    const char *argument; /* `JOB`, `DIR`, `[VERB]` */
    bool needs_argument;
    const char *summary; /* one line */
    const char *text;    /* what it does, lines ended */
    const char *example;
    const struct verb_status *statuses; /* ascending */
    unsigned bit;                       /* in option_rule.verbs */
    enum exit_code (*run)(struct options *options);
};

extern const struct verb verbs[];
extern const size_t verb_count;

/* NULL where there is none of that name. */
const struct verb *verb_find(const char *name);

/* The verb most like a misspelt one, NULL where there is none. */
const char *verb_nearest(const char *name);

void options_init(struct options *options);
void options_clear(struct options *options);

/*
 * Read argv[1..].  A message has been printed where this does not return EXIT_DONE.
 * --help and --version become the verb `help` and version_asked.
 */
enum exit_code options_read(int argc, char *argv[], struct options *options,
                            bool *version_asked);

/* An option as help and the man pages show it. */
struct option_words {
    const char *name;  /* `--set` */
    const char *value; /* what follows it; NULL where nothing does */
    const char *text;  /* what it does */
};

/* The i-th option of a verb, from 0; false beyond the last. */
bool options_at(const struct verb *verb, size_t i, struct option_words *words);

/* Add the options of a verb, one a line with what they do. */
void options_describe(struct bt_buffer *out, const struct verb *verb);

/* Add the usage line of a verb with its options in brackets. */
void options_usage(struct bt_buffer *out, const struct verb *verb);

enum exit_code run_check(struct options *options);
enum exit_code run_edges(struct options *options);
enum exit_code run_fence(struct options *options);
enum exit_code run_flatness(struct options *options);
enum exit_code run_glueup(struct options *options);
enum exit_code run_help(struct options *options);
enum exit_code run_layout(struct options *options);
enum exit_code run_measure(struct options *options);
enum exit_code run_report(struct options *options);
enum exit_code run_sheet(struct options *options);
enum exit_code run_movement(struct options *options);
enum exit_code run_opening(struct options *options);
enum exit_code run_stock(struct options *options);
enum exit_code run_new(struct options *options);
enum exit_code run_decide(struct options *options);
enum exit_code run_trend(struct options *options);

#endif
