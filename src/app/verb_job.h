/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_APP_VERB_JOB_H
#define BENCHTRUE_APP_VERB_JOB_H

#include "app/options.h"
#include "benchtrue/draw/figure.h"
#include "benchtrue/draw/paper.h"
#include "benchtrue/judge/limits.h"
#include "benchtrue/report/text.h"

/* What the verbs that need the folder of a job have in common. */

/* Read the job folder that the command line names, with the latest set of readings
 * alone or with all of them.  Returns EXIT_DONE, or the exit status of what failed,
 * with a message.  job is to be freed with bt_job_clear in either case. */
enum exit_code verb_job_load(const struct options *options, bool all_sets,
                             struct bt_job *job);

/* The message of an answer that could not be found: the job, then why. */
enum exit_code verb_job_failed(const struct options *options, enum bt_status status,
                               const struct bt_error *err);

struct bt_text_options verb_text_options(const struct options *options,
                                         const struct bt_job *job);

/* 0 within, 1 over, 2 not known. */
enum exit_code verb_exit(enum bt_verdict verdict);

/* The paper of --paper, A4 where it is not typed. */
enum exit_code verb_paper(const struct options *options, enum bt_paper *paper);

/* Write a finished document to the file of -o, free it and what drawing kept; status
 * and err say how making it went. */
enum exit_code verb_output_save(const struct options *options, enum bt_status status,
                                const struct bt_error *err,
                                struct bt_figure_bytes *bytes);

/* The same to a file of another option. */
enum exit_code verb_file_save(const struct options *options, const char *path,
                              enum bt_status status, const struct bt_error *err,
                              struct bt_figure_bytes *bytes);

/* Whether --figure names a file of a format that can be drawn; EXIT_DONE without it. */
enum exit_code verb_figure_check(const struct options *options);

/* Write what was drawn and free it, whatever status says of the drawing. */
enum exit_code verb_figure_save(const struct options *options, enum bt_status status,
                                const struct bt_error *err,
                                struct bt_figure_bytes *bytes);

#endif
