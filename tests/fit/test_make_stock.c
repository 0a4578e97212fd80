/* SPDX-License-Identifier: GPL-3.0-or-later */

/* The maker of the tables of rough stock, run as the build runs it: BT_MAKE_STOCK. */
#include <criterion/criterion.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

struct run {
    int status;
    char said[1000]; /* what it printed, without the folder */
    char made[4000]; /* the tables, "" where none were written */
};

static void slurp(FILE *in, char *text, size_t room)
{
    size_t n = in ? fread(text, 1, room - 1, in) : 0;

    text[n] = '\0';
}

static void put(const char *name, const char *text)
{
    FILE *file = fopen(name, "wb");

    cr_assert_not_null(file);
    cr_assert(fputs(text, file) >= 0 && fclose(file) == 0);
}

/* Run it on two tables in a folder of its own, which is removed again. */
static struct run run_on(const char *quarters, const char *rules)
{
    char folder[] = "/tmp/benchtrue-stock-XXXXXX", command[600];
    struct run run;
    FILE *file;

    cr_assert_not_null(mkdtemp(folder));
    cr_assert(chdir(folder) == 0);
    put("q.csv", quarters);
    put("r.csv", rules);
    snprintf(command, sizeof command, "'%s' q.csv r.csv t.inc 2>&1", BT_MAKE_STOCK);
    file = popen(command, "r");
    cr_assert_not_null(file);
    slurp(file, run.said, sizeof run.said);
    run.status = WEXITSTATUS(pclose(file));
    file = fopen("t.inc", "rb");
    slurp(file, run.made, sizeof run.made);
    if (file)
        fclose(file);
    remove("t.inc");
    remove("q.csv");
    remove("r.csv");
    cr_assert(chdir("/") == 0 && rmdir(folder) == 0);
    return run;
}

#define QUARTERS "nominal,rough,one_side,two_sides,unit,status,source,note\n"
#define RULES "rule,value,unit,status,source,note\n"
#define SIZES QUARTERS "3/8,0.5,,0.25,in,seen,A,\n4/4,1,0.75,0.5,in,seen,A,\n"
#define MOST                                                                           \
    RULES "least length for the jointer,12,in,seen,A,\n"                               \
          "least length for the planer,12,in,seen,A,\n"                                \
          "least thickness for the planer,0.5,in,seen,A,\n"                            \
          "scant of kiln-dried rough stock,0.0625,in,seen,A,\n"                        \
          "precision of a moisture meter,1,%,seen,A,\n"
#define ALL MOST "most moisture that a meter reads,30,%,seen,A,\n"

Test(make_stock, turns_inches_into_mm_and_leaves_percent)
{
    const struct run run = run_on(SIZES, ALL);

    cr_assert_eq(run.status, 0, "%s", run.said);
    /* 12.7, to a rounding */
    cr_expect_not_null(strstr(run.made, "{\"3/8\", 12.69999"), "%s", run.made);
    cr_expect_not_null(strstr(run.made, "NAN"), "%s", run.made);
    cr_expect_not_null(strstr(run.made, "\"A; seen\""), "%s", run.made);
    cr_expect_not_null(strstr(run.made, "{\"most moisture that a meter reads\", 30"),
                       "%s", run.made);
}

Test(make_stock, refuses_a_bad_row_with_file_and_line_and_writes_nothing)
{
    static const struct {
        const char *quarters, *rules, *said;
    } rows[] = {
        {QUARTERS, ALL, "no size"},
        {QUARTERS "4/4,1,0.75,0.5,mm,seen,A,\n", ALL,
         "q.csv:2: the unit of this table is in: 'mm'\n"},
        {QUARTERS "4/4,0,0.75,0.5,in,seen,A,\n", ALL,
         "q.csv:2: value must be a number above 0: '0'\n"},
        {QUARTERS "4/4,1,0.75,0.8,in,seen,A,\n", ALL,
         "q.csv:2: surfaced thicker than it was: '4/4'\n"},
        {QUARTERS "4/4,1,,1.5,in,seen,A,\n", ALL,
         "q.csv:2: surfaced thicker than it was: '4/4'\n"},
        {SIZES "5/8,0.6,,0.5,in,seen,A,\n", ALL,
         "q.csv:4: sizes go from thin to thick: '5/8'\n"},
        {SIZES, ALL "hardness,1,in,seen,A,\n", "r.csv:8: unknown rule: 'hardness'\n"},
        {SIZES, ALL "least length for the planer,1,in,seen,A,\n",
         "r.csv:8: the rule is there already: 'least length for the planer'\n"},
        {SIZES, MOST "most moisture that a meter reads,30,in,seen,A,\n",
         "r.csv:7: the unit of this rule is another: 'in'\n"},
        {SIZES, MOST "most moisture that a meter reads,x,%,seen,A,\n",
         "r.csv:7: value must be a number above 0: 'x'\n"},
        {SIZES, MOST, "the rule is missing: 'most moisture that a meter reads'\n"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct run run = run_on(rows[i].quarters, rows[i].rules);

        cr_expect_eq(run.status, 1, "row %zu: exit %d", i, run.status);
        cr_expect_not_null(strstr(run.said, rows[i].said), "row %zu said %s", i,
                           run.said);
        cr_expect_str_empty(run.made, "row %zu", i);
    }
}
