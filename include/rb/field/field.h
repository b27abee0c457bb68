/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

/* The painted field by rule code, as named points and lines.
 *
 * Field frame, in yards: x runs along the field from the left goal line (0) to the right one
 * (100) as seen from the near sideline, so the end lines are -10 and 110; y runs across from
 * the inside edge of the near sideline (0) to that of the far one (53 1/3); z is up. The frame
 * is right-handed.
 *
 * Sources: NFL Official Playing Rules, Rule 1 sections 1 to 3; NCAA Football Rules 1-2-1,
 * 2-12-6 and Appendix D; NFHS Football Rules 1-2-1 to 1-2-5 (numbering of the last and 1-2-5
 * of the NCAA from memory). What is not in the rules is named beside its value. */

typedef struct {
    double x;
    double y;
} RbPoint2;

typedef struct {
    double x;
    double y;
    double z;
} RbPoint3;

/* In the order of RbRules (rb/model/words.h), which this part does not know. */
typedef enum { RB_FIELD_HIGH_SCHOOL, RB_FIELD_COLLEGE, RB_FIELD_PRO } RbFieldCode;
#define RB_FIELD_CODES (RB_FIELD_PRO + 1)

#define RB_FIELD_LENGTH_YD 100.0
#define RB_FIELD_END_ZONE_YD 10.0
#define RB_FIELD_WIDTH_YD (160.0 / 3.0)

/* Lengths in yards. */
typedef struct {
    RbFieldCode code;
    double hash_yd;           /* sideline to the nearer hash line */
    double number_bottom_yd;  /* sideline to the bottoms of the numbers */
    double number_top_yd;     /* and to their tops */
    double digit_width_yd;    /* of one digit */
    double line_width_yd;     /* yard lines and short marks */
    double goal_line_yd;      /* width of the goal lines, which lie in the end zone */
    double short_mark_yd;     /* length of a short mark */
    double short_mark_gap_yd; /* inside edge of the sideline to the short marks there */
    double border_yd;         /* width of the white outside sidelines and end lines */
    double try_spot_yd;       /* goal line to the mark for the try */
    double uprights_yd;       /* between the insides of the uprights */
    double crossbar_yd;       /* height of the crossbar's top */
    double upright_top_yd;    /* height of the uprights' tops */
    const char *rules;        /* the citation, for people */
} RbFieldDimensions;

const RbFieldDimensions *rb_field_dimensions(RbFieldCode code);

/* Points a person can click without doubt. */
typedef enum {
    RB_LANDMARK_SIDELINE,   /* yard line (by fives) meets the sideline's inside edge */
    RB_LANDMARK_HASH,       /* yard line (by fives) crosses the hash line */
    RB_LANDMARK_NUMBER_TOP, /* yard line (by tens, 10 to 90) at the tops of the numbers */
    RB_LANDMARK_NUMBER_BOTTOM, /* and at their bottoms */
    RB_LANDMARK_SHORT_MARK,    /* inner end of a one-yard mark at the sideline */
} RbLandmarkKind;
#define RB_LANDMARK_KINDS (RB_LANDMARK_SHORT_MARK + 1)

typedef struct {
    RbLandmarkKind kind;
    int line; /* x of the yard line, -10 to 110 */
    bool far; /* the far half of the field, else the near one */
} RbLandmark;

/* False if the field has no such point. */
bool rb_landmark_point(RbFieldCode code, RbLandmark landmark, RbPoint2 *point);
/* Every landmark of the field: GArray of RbLandmark, by kind, x, near before far.
 * Returns: (transfer full). */
GArray *rb_landmark_all(RbFieldCode code);
/* "near hash at the left 35", "far sideline at the 50", "near sideline at the right goal line".
 * Returns: (transfer full). */
char *rb_landmark_name(RbLandmark landmark);
/* "near-hash-l35", "far-sideline-50", "near-sideline-rg" (goal line), "far-sideline-le" (end
 * line). Returns: (transfer full). */
char *rb_landmark_token(RbLandmark landmark);
/* False if `token` names no landmark of this field. */
bool rb_landmark_parse(RbFieldCode code, const char *token, RbLandmark *landmark);

/* Lines: a line is x = at (across the field) or y = at (along it). */
typedef enum {
    RB_FIELD_LINE_YARD, /* by fives, goal and end lines too: x */
    RB_FIELD_LINE_SIDELINE,
    RB_FIELD_LINE_HASH,
    RB_FIELD_LINE_NUMBER_TOP,
    RB_FIELD_LINE_NUMBER_BOTTOM,
} RbFieldLineKind;

typedef struct {
    RbFieldLineKind kind;
    int line; /* x of a yard line; else 0 */
    bool far; /* of the others */
} RbFieldLine;

/* The two ends of a line where the field ends. False if the field has no such line. */
bool rb_field_line_ends(RbFieldCode code, RbFieldLine line, RbPoint2 *from, RbPoint2 *to);
/* GArray of RbFieldLine. Returns: (transfer full). */
GArray *rb_field_line_all(RbFieldCode code);
/* "left 35-yard line", "near hash line". Returns: (transfer full). */
char *rb_field_line_name(RbFieldLine line);

/* Paint: rectangles with sides along x and y. */
typedef enum {
    RB_PAINT_YARD_LINE,
    RB_PAINT_GOAL_LINE,
    RB_PAINT_HASH, /* two-foot strokes along x where hash line and yard line cross */
    RB_PAINT_SHORT_MARK, /* two-foot strokes along y at each yard: by hash and sideline */
    RB_PAINT_BORDER,
    RB_PAINT_TRY,
} RbPaintKind;

typedef struct {
    RbPaintKind kind;
    double x0, y0, x1, y1; /* x0 < x1, y0 < y1 */
} RbPaint;

/* GArray of RbPaint. Where the rules do not say which end of a short mark lies on the hash
 * line, it is drawn from the hash line toward the sideline.
 * Returns: (transfer full). */
GArray *rb_field_paint_all(RbFieldCode code);

/* Number painted at a yard line by tens, 10 to 90: 10 to 50. 0 where there is none. */
int rb_field_number_at(int line);
