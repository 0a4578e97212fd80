/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef TESTS_APP_PROGRAM_H
#define TESTS_APP_PROGRAM_H

#include <stdbool.h>
#include <stddef.h>

/*
 * Runs the program (BT_PROGRAM, its path, comes from the build) and keeps what it
 * wrote.
 */
struct outcome {
    int code;  /* exit status; -1 where a signal ended it */
    char *out; /* stdout and stderr, NUL-terminated; freed by outcome_clear */
    char *err;
};

/* How to run it, all false and NULL for the usual way. */
struct conditions {
    const char *stdout_to;    /* a file to write stdout into instead */
    const char *folder;       /* where to run */
    unsigned long file_limit; /* bytes that a file may have, as if the disk were full;
                                 0: no limit */
    bool terminal;            /* stdout is a terminal */
    bool no_color;            /* NO_COLOR is set */
    bool nobody; /* as a user without rights, where the test runs as root */
};

/* args: one text, words separated by blanks; a word in ' ' may hold blanks. */
struct outcome run(const char *args);
struct outcome run_under(const char *args, const struct conditions *conditions);
void outcome_clear(struct outcome *outcome);

/* Exit status, stdout and stderr together; NULL: not looked at. */
void expect_run(const char *args, int code, const char *out, const char *err);

/* What it printed is tests/app/expected/NAME, looked at by a human before it was kept.
 */
void expect_file(const struct outcome *got, const char *name);

/* A new empty folder under /tmp, and its removal with the files in it. */
const char *new_folder(char room[64]);
void remove_folder(const char *folder);

/* Write a file into a folder. */
void put_file(const char *folder, const char *name, const char *text);

#endif
