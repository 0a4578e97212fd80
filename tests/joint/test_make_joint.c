/* SPDX-License-Identifier: GPL-3.0-or-later */

/* The makers of the tables of glue, of rules and of cautions, run as the build runs
 * them: BT_MAKE_GLUES, BT_MAKE_JOINT_RULES, BT_MAKE_CAUTIONS. */
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

struct run {
    int status;
    char said[2000]; /* what it printed, without the folder */
    char made[4000]; /* the table, "" where none was written */
};

static void slurp(FILE *in, char *text, size_t room)
{
    size_t n = in ? fread(text, 1, room - 1, in) : 0;

    text[n] = '\0';
}

/* Run a maker on a table in a folder of its own, which is removed again. */
static struct run run_on(const char *maker, const char *table)
{
    char folder[] = "/tmp/benchtrue-joint-XXXXXX", command[600];
    struct run run;
    FILE *file;

    cr_assert_not_null(mkdtemp(folder));
    cr_assert(chdir(folder) == 0);
    file = fopen("t.csv", "wb");
    cr_assert_not_null(file);
    cr_assert(fputs(table, file) >= 0 && fclose(file) == 0);
    snprintf(command, sizeof command, "'%s' t.csv t.inc 2>&1", maker);
    file = popen(command, "r");
    cr_assert_not_null(file);
    slurp(file, run.said, sizeof run.said);
    run.status = WEXITSTATUS(pclose(file));
    file = fopen("t.inc", "rb");
    slurp(file, run.made, sizeof run.made);
    if (file)
        fclose(file);
    remove("t.inc");
    remove("t.csv");
    cr_assert(chdir("/") == 0 && rmdir(folder) == 0);
    return run;
}

struct bad {
    const char *name, *table, *said;
};

static void expect_refused(const char *maker, size_t n, const struct bad bad[])
{
    for (size_t k = 0; k < n; k++) {
        struct run run = run_on(maker, bad[k].table);

        cr_expect(run.status == 1, "%s: exit %d", bad[k].name, run.status);
        cr_expect(strcmp(run.said, bad[k].said) == 0, "%s: said %s", bad[k].name,
                  run.said);
        cr_expect_str_empty(run.made, "%s", bad[k].name);
    }
}

/* ---- glues ---- */

#define GLUES "glue,figure,value,unit,status,source,note\n"

Test(make_glues, writes_a_row_of_c_for_each_glue_and_nan_for_what_is_not_there)
{
    struct run run = run_on(BT_MAKE_GLUES, GLUES
                            "fish,gap,0.1,mm,seen,\"A \"\"B\"\"\",n\n"
                            "fish,full time,24,h,\"common practice, no source\",,\n");

    cr_expect(run.status == 0);
    cr_expect_str_empty(run.said);
    cr_expect_str_eq(run.made,
                     "/* Made by make_glues from reference/glues.csv; edit that. */\n"
                     "    {\"fish\",\n"
                     "     {0.10000000000000001, \"A \\\"B\\\"; seen\"},\n"
                     "     {NAN, \"\"},\n"
                     "     {NAN, \"\"},\n"
                     "     {NAN, \"\"},\n"
                     "     {24, \"common practice, no source\"},\n"
                     "     {NAN, \"\"},\n"
                     "     {NAN, \"\"}},\n");
}

Test(make_glues, refuses_a_bad_row_with_file_and_line_and_writes_nothing)
{
    static const struct bad bad[] = {
        {"no number", GLUES "fish,gap,thin,mm,seen,A,\n",
         "t.csv:2: value must be a number above 0: 'thin'\n"},
        {"zero", GLUES "fish,gap,0,mm,seen,A,\n",
         "t.csv:2: value must be a number above 0: '0'\n"},
        {"unit", GLUES "fish,gap,0.1,in,seen,A,\n",
         "t.csv:2: the unit of this figure is another: 'in'\n"},
        {"figure", GLUES "fish,smell,3,mm,seen,A,\n",
         "t.csv:2: unknown figure: 'smell'\n"},
        {"twice", GLUES "fish,gap,0.1,mm,seen,A,\nfish,gap,0.2,mm,seen,A,\n",
         "t.csv:3: the glue has this figure already: 'gap'\n"},
        {"name", GLUES ",gap,0.1,mm,seen,A,\n",
         "t.csv:2: glue must have 1 to 31 characters: ''\n"},
        {"status", GLUES "fish,gap,0.1,mm,heard,A,\n",
         "t.csv:2: unknown status: 'heard'\n"},
        {"source", GLUES "fish,gap,0.1,mm,seen,,\n",
         "t.csv:2: the source is missing for status: 'seen'\n"},
        {"none", GLUES, "t.csv:2: there is no glue in the table: ''\n"}};

    expect_refused(BT_MAKE_GLUES, sizeof bad / sizeof *bad, bad);
}

/* ---- rules ---- */

#define RULES "rule,value,unit,status,source,note\n"

Test(make_joint_rules, refuses_a_bad_row_with_file_and_line_and_writes_nothing)
{
    static const struct bad bad[] = {
        {"unknown", RULES "luck,1,1,seen,A,\n", "t.csv:2: unknown rule: 'luck'\n"},
        {"no number", RULES "density of the lightest wood,light,kg/m3,seen,A,\n",
         "t.csv:2: value must be a number above 0: 'light'\n"},
        {"unit", RULES "density of the lightest wood,22,lb/ft3,seen,A,\n",
         "t.csv:2: the unit of this rule is another: 'lb/ft3'\n"},
        {"twice",
         RULES "density of the lightest wood,350,kg/m3,seen,A,\n"
               "density of the lightest wood,360,kg/m3,seen,A,\n",
         "t.csv:3: the rule is there already: 'density of the lightest wood'\n"},
        {"source", RULES "density of the lightest wood,350,kg/m3,seen,,\n",
         "t.csv:2: the source is missing for status: 'seen'\n"},
        {"not all", RULES "pressure for the lightest wood,1,MPa,seen,A,\n",
         "t.csv:3: the rule is missing: 'pressure for the heaviest wood'\n"}};

    expect_refused(BT_MAKE_JOINT_RULES, sizeof bad / sizeof *bad, bad);
}

/* ---- cautions ---- */

#define CAUTIONS "when,length,width,thickness,unit,status,source,text,note\n"

Test(make_cautions, writes_a_row_of_c_for_each_with_sizes_in_mm)
{
    struct run run =
        run_on(BT_MAKE_CAUTIONS, CAUTIONS "edges decide,10,,0.5,in,seen,A,Mind it.,\n");

    cr_expect(run.status == 0);
    cr_expect_str_empty(run.said);
    cr_expect_str_eq(
        run.made,
        "/* Made by make_cautions from reference/cautions.csv; edit that. */\n"
        "    {\"Mind it.\",\n"
        "     \"A; seen\",\n"
        "     18, 254, NAN, 12.699999999999999},\n");
}

Test(make_cautions, refuses_a_bad_row_with_file_and_line_and_writes_nothing)
{
    static const struct bad bad[] = {
        {"work", CAUTIONS "edges sleep,,,,mm,seen,A,Mind it.,\n",
         "t.csv:2: when must be some of fence, edges, glueup, stock, decide, cut: "
         "'edges "
         "sleep'\n"},
        {"work twice", CAUTIONS "edges edges,,,,mm,seen,A,Mind it.,\n",
         "t.csv:2: when must be some of fence, edges, glueup, stock, decide, cut: "
         "'edges "
         "edges'\n"},
        {"no work", CAUTIONS ",,,,mm,seen,A,Mind it.,\n",
         "t.csv:2: when must be some of fence, edges, glueup, stock, decide, cut: "
         "''\n"},
        {"size", CAUTIONS "edges,short,,,mm,seen,A,Mind it.,\n",
         "t.csv:2: a size must be empty or a number above 0: 'short'\n"},
        {"size 0", CAUTIONS "edges,,0,,mm,seen,A,Mind it.,\n",
         "t.csv:2: a size must be empty or a number above 0: '0'\n"},
        {"unit", CAUTIONS "edges,,,3,cm,seen,A,Mind it.,\n",
         "t.csv:2: unit must be mm or in: 'cm'\n"},
        {"text", CAUTIONS "edges,,,3,mm,seen,A,,\n",
         "t.csv:2: the text is missing: 'edges'\n"},
        {"source", CAUTIONS "edges,,,3,mm,\"common practice, no source\",A,Mind it.,\n",
         "t.csv:2: common practice has no source: 'A'\n"},
        {"none", CAUTIONS, "t.csv:2: there is no caution in the table: ''\n"}};

    expect_refused(BT_MAKE_CAUTIONS, sizeof bad / sizeof *bad, bad);
}

Test(make_joint, a_maker_called_wrongly_says_how)
{
    static const char *const makers[][2] = {
        {BT_MAKE_GLUES, "usage: make_glues TABLE.csv OUT.inc\n"},
        {BT_MAKE_JOINT_RULES, "usage: make_joint_rules TABLE.csv OUT.inc\n"},
        {BT_MAKE_CAUTIONS, "usage: make_cautions TABLE.csv OUT.inc\n"}};

    for (size_t i = 0; i < 3; i++) {
        char command[600], said[200];
        FILE *out;

        snprintf(command, sizeof command, "'%s' only-one 2>&1", makers[i][0]);
        out = popen(command, "r");
        cr_assert_not_null(out);
        slurp(out, said, sizeof said);
        cr_expect_eq(WEXITSTATUS(pclose(out)), 2, "%s", makers[i][0]);
        cr_expect_str_eq(said, makers[i][1]);
    }
}
