/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "log-writer.h"

#include <string.h>

#include "suite.h"

enum { LANGUAGES = 4, NAMES = 2 };

/* General words of the trade in English, German, French, Spanish (common practice, no source). */
static const char *const heads[RB_LOG_FIELDS][LANGUAGES][NAMES] = {
    [RB_LOG_NUMBER] = { { "Play number", "No." },
                        { "Spielzug Nr.", "Nummer" },
                        { "Numéro", "Action numéro" },
                        { "Número", "Número de jugada" } },
    [RB_LOG_QUARTER] = { { "Quarter", "Period" },
                         { "Viertel", "Spielviertel" },
                         { "Quart-temps", "Période" },
                         { "Cuarto", "Período" } },
    [RB_LOG_CLOCK] = { { "Game clock", "Time left" },
                       { "Spieluhr", "Restzeit" },
                       { "Chrono", "Temps restant" },
                       { "Reloj", "Tiempo restante" } },
    [RB_LOG_DOWN] = { { "Down", "DOWN" },
                      { "Versuch", "Down" },
                      { "Tentative", "Essai" },
                      { "Intento", "Oportunidad" } },
    [RB_LOG_DISTANCE] = { { "Distance", "Yards to go" },
                          { "Distanz", "Noch zu gehen" },
                          { "Distance", "À parcourir" },
                          { "Distancia", "Por avanzar" } },
    [RB_LOG_DOWN_DISTANCE] = { { "Down & distance", "Situation" },
                               { "Versuch und Distanz", "Situation" },
                               { "Tentative et distance", "Situation" },
                               { "Intento y distancia", "Situación" } },
    [RB_LOG_SPOT] = { { "Yard line", "Ball on" },
                      { "Yardlinie", "Ball auf" },
                      { "Ligne de yards", "Position du ballon" },
                      { "Línea de yardas", "Posición del balón" } },
    [RB_LOG_HALF] = { { "Side of field", "Half" },
                      { "Hälfte", "Spielfeldhälfte" },
                      { "Moitié de terrain", "Moitié" },
                      { "Mitad de campo", "Mitad" } },
    [RB_LOG_HASH] = { { "Hash", "Hash mark" },
                      { "Hash", "Markierung" },
                      { "Repère", "Hash" },
                      { "Marca", "Hash" } },
    [RB_LOG_OFFENSE] = { { "Offense", "Possession" },
                         { "Angriff", "Ballbesitz" },
                         { "Attaque", "Équipe" },
                         { "Ataque", "Equipo" } },
    [RB_LOG_PLAY] = { { "Kind of play", "Play" },
                      { "Spielart", "Spielzug" },
                      { "Type d'action", "Action" },
                      { "Tipo de jugada", "Jugada" } },
    [RB_LOG_RESULT] = { { "Result", "Outcome" },
                        { "Ergebnis", "Ausgang" },
                        { "Résultat", "Issue" },
                        { "Resultado", "Desenlace" } },
    [RB_LOG_GAIN] = { { "Gain", "Yards gained" },
                      { "Raumgewinn", "Gewonnene Yards" },
                      { "Gain", "Yards gagnés" },
                      { "Ganancia", "Yardas ganadas" } },
    [RB_LOG_TEXT] = { { "Description", "Text" },
                      { "Beschreibung", "Verlauf" },
                      { "Description", "Texte" },
                      { "Descripción", "Relato" } },
};

static const char *const result_words[][LANGUAGES] = {
    [RB_RESULT_COMPLETE] = { "Complete", "Gefangen", "Réussie", "Completo" },
    [RB_RESULT_INCOMPLETE] = { "Incomplete", "Unvollständig", "Incomplète",
                               "Incompleto" },
    [RB_RESULT_INTERCEPTED] = { "Intercepted", "Abgefangen", "Interceptée",
                                "Interceptado" },
    [RB_RESULT_SACK] = { "Sack", "Sack", "Sack", "Captura" },
    [RB_RESULT_SCRAMBLE] = { "Scramble", "Scramble", "Scramble", "Scramble" },
    [RB_RESULT_THROWN_AWAY] = { "Thrown away", "Weggeworfen", "Ballon jeté",
                                "Balón tirado" },
    [RB_RESULT_RUN] = { "Run", "Lauf", "Course", "Carrera" },
    [RB_RESULT_KICK_GOOD] = { "Good", "Gut", "Réussi", "Bueno" },
    [RB_RESULT_KICK_MISSED] = { "Missed", "Verfehlt", "Raté", "Fallado" },
    [RB_RESULT_KICKED] = { "Kicked", "Gekickt", "Botté", "Pateado" },
    [RB_RESULT_NO_PLAY] = { "No play", "Kein Spielzug", "Action annulée",
                            "Jugada anulada" },
};

static const char *play_word(RbPlay play, RbPhase phase, int language)
{
    static const char *const words[][LANGUAGES] = {
        { "Pass", "Pass", "Passe", "Pase" },
        { "Run", "Lauf", "Course", "Carrera" },
        { "Punt", "Punt", "Dégagement", "Despeje" },
        { "Field goal", "Field Goal", "Field goal", "Gol de campo" },
        { "Kickoff", "Kickoff", "Coup d'envoi", "Patada inicial" },
        { "Extra point", "Extrapunkt", "Transformation", "Punto extra" },
        { "Kneel", "Abknien", "Genou", "Rodilla" },
    };
    if (phase == RB_PHASE_TRY) {
        return words[5][language];
    }
    return play == RB_PLAY_RUN          ? words[1][language]
           : play == RB_PLAY_PUNT       ? words[2][language]
           : play == RB_PLAY_FIELD_GOAL ? words[3][language]
           : play == RB_PLAY_KICKOFF    ? words[4][language]
           : play == RB_PLAY_KNEEL      ? words[6][language]
           : play == RB_PLAY_SCREEN     ? "Screen"
           : play == RB_PLAY_DROPBACK   ? words[0][language]
           : play == RB_PLAY_UNKNOWN    ? ""
                                        : rb_words_label(&rb_play_words, (int)play);
}

static void add_column(Layout *layout, RbLogField field, const char *head)
{
    layout->fields[layout->columns] = field;
    layout->heads[layout->columns] = g_strdup(head);
    layout->columns++;
}

static void choose_columns(Layout *layout, RbRandom *random, bool both_teams)
{
    RbLogField fields[] = { RB_LOG_QUARTER, RB_LOG_CLOCK,  RB_LOG_SPOT, RB_LOG_HASH,
                            RB_LOG_PLAY,    RB_LOG_RESULT, RB_LOG_GAIN, RB_LOG_NUMBER };
    const double named = rb_random_chance(random, 0.75) ? 1.0 : 0.5;
    for (size_t i = 0; i < G_N_ELEMENTS(fields); i++) {
        if (fields[i] == RB_LOG_SPOT || rb_random_chance(random, 0.85)) {
            add_column(layout, fields[i], NULL);
        }
    }
    if (rb_random_chance(random, 0.3)) {
        add_column(layout, RB_LOG_DOWN_DISTANCE, NULL);
    } else {
        add_column(layout, RB_LOG_DOWN, NULL);
        add_column(layout, RB_LOG_DISTANCE, NULL);
    }
    if (layout->half_column) {
        add_column(layout, RB_LOG_HALF, NULL);
    }
    if (both_teams) {
        add_column(layout, RB_LOG_OFFENSE, NULL);
    }
    for (int i = 0; i < layout->columns; i++) {
        const RbLogField field = layout->fields[i];
        layout->heads[i] =
            field == RB_LOG_HALF || rb_random_chance(random, named)
                ? g_strdup(heads[field][layout->language][rb_random_int(random, 0, 1)])
                : g_strdup_printf("F%d", i);
    }
    for (int i = rb_random_int(random, 0, 4); i > 0; i--) {
        g_autofree char *head = g_strdup_printf("Extra %d", i);
        add_column(layout, RB_LOG_NOTHING, head);
    }
}

static void shuffle(Layout *layout, RbRandom *random)
{
    for (int i = layout->columns - 1; i > 0; i--) {
        const int j = rb_random_int(random, 0, i);
        const RbLogField field = layout->fields[i];
        char *head = layout->heads[i];
        layout->fields[i] = layout->fields[j];
        layout->heads[i] = layout->heads[j];
        layout->fields[j] = field;
        layout->heads[j] = head;
    }
}

Layout layout_random(RbRandom *random, bool both_teams)
{
    Layout layout = { .language = rb_random_int(random, 0, LANGUAGES - 1) };
    layout.yards = (RbLogYards)rb_random_int(random, RB_YARDS_WORDS, RB_LOG_YARDS - 1);
    layout.half_column = layout.yards == RB_YARDS_WORDS && rb_random_chance(random, 0.4);
    for (int field = 0; field < RB_LOG_FIELDS; field++) {
        layout.forms[field] = rb_random_int(random, 0, 3);
    }
    choose_columns(&layout, random, both_teams);
    shuffle(&layout, random);
    layout.encoding = rb_random_int(random, 0, 5);
    layout.delimiter = ",;\t|"[rb_random_int(random, 0, 3)];
    layout.quote_all = rb_random_chance(random, 0.4);
    layout.title = rb_random_chance(random, 0.2);
    layout.no_lf = rb_random_chance(random, 0.6);
    layout.noise = rb_random_next(random);
    return layout;
}

void layout_clear(Layout *layout)
{
    for (int i = 0; i < layout->columns; i++) {
        g_free(layout->heads[i]);
    }
}

static char *clock_text(int clock_s, int form)
{
    if (clock_s < 0) {
        return g_strdup("");
    }
    return form == 3 && clock_s % 60 != 0
               ? g_strdup_printf("00:%02d:%02d", clock_s / 60, clock_s % 60)
               : g_strdup_printf("%d:%02d", clock_s / 60, clock_s % 60);
}

static char *down_text(int down, int form, int language)
{
    static const char *const ordinals[LANGUAGES][5] = {
        { "", "1st", "2nd", "3rd", "4th" },
        { "", "1.", "2.", "3.", "4." },
        { "", "1er", "2e", "3e", "4e" },
        { "", "1º", "2º", "3º", "4º" },
    };
    return form == 0  ? g_strdup(ordinals[language][down])
           : down > 0 ? g_strdup_printf("%d", down)
                      : g_strdup(form == 1 ? "0" : "");
}

static char *distance_text(const RbSituation *s, int form)
{
    if (s->distance == 0) {
        return g_strdup(form == 1 ? "0" : "");
    }
    return form == 2 && s->distance == s->yards_to_goal
               ? g_strdup("Goal")
               : g_strdup_printf("%d", s->distance);
}

static const char *half_word(bool own, int language, int form)
{
    static const char *const words[LANGUAGES][2] = {
        { "own", "opp" },
        { "eigene", "Gegner" },
        { "propre", "adverse" },
        { "propia", "rival" },
    };
    (void)form;
    return words[language][own ? 0 : 1];
}

static char *spot_text(const Layout *layout, const RbSituation *s, bool ours)
{
    const int to_goal = s->yards_to_goal;
    const bool own = to_goal > 50;
    const int line = own ? 100 - to_goal : to_goal;
    const int form = layout->forms[RB_LOG_SPOT];
    if (to_goal == 0) {
        return g_strdup("");
    }
    switch (layout->yards) {
    case RB_YARDS_UNKNOWN:
        break;
    case RB_YARDS_WORDS:
        if (layout->half_column) {
            return g_strdup_printf("%d", line);
        }
        if (to_goal == 50 && form < 2) {
            return g_strdup("50");
        }
        if (form == 3) {
            return g_strdup_printf("%s %d", own == ours ? LAYOUT_US : LAYOUT_THEM, line);
        }
        return form == 1 ? g_strdup_printf("%d %s", line,
                                           half_word(own, layout->language, form))
                         : g_strdup_printf("%s %d",
                                           half_word(own, layout->language, form), line);
    case RB_YARDS_TO_GOAL:
        return g_strdup_printf("%d", to_goal);
    case RB_YARDS_FROM_OWN:
        return g_strdup_printf("%d", 100 - to_goal);
    case RB_YARDS_MINUS_OWN:
        return g_strdup_printf("%s%d", own ? "-" : form == 0 ? "+" : "", line);
    case RB_YARDS_PLUS_OWN:
        return g_strdup_printf("%s%d",
                               own || to_goal == 50 ? ""
                               : form == 0          ? "−"
                                                    : "-",
                               line);
    case RB_YARDS_MIDFIELD:
        return g_strdup_printf("%d", 50 - to_goal);
    }
    return g_strdup("");
}

static char *gain_text(const RbSnap *snap, int form)
{
    if (snap->has_gain != RB_YES) {
        return g_strdup("");
    }
    return form == 0   ? g_strdup_printf("%+d", snap->gain)
           : form == 1 ? g_strdup_printf("%d,0", snap->gain)
           : form == 2 ? g_strdup_printf("%d.0", snap->gain)
                       : g_strdup_printf("%d", snap->gain);
}

static char *result_text(const RbSnap *snap, int language)
{
    if (snap->result == RB_RESULT_UNKNOWN) {
        return g_strdup("");
    }
    const char *word = result_words[snap->result][language];
    return snap->ending == RB_ENDING_NONE
               ? g_strdup(word)
               : g_strdup_printf("%s, %s", word,
                                 snap->ending == RB_ENDING_TOUCHDOWN ? "Touchdown"
                                 : snap->ending == RB_ENDING_SAFETY  ? "Safety"
                                 : snap->ending == RB_ENDING_FUMBLE_LOST
                                     ? "Fumble lost"
                                     : "Touchdown against");
}

static const char *hash_text(RbHash hash, int language, int form)
{
    static const char *const words[LANGUAGES][4] = {
        { "", "Left", "Middle", "Right" },
        { "", "links", "Mitte", "rechts" },
        { "", "gauche", "milieu", "droite" },
        { "", "izquierda", "centro", "derecha" },
    };
    static const char *const letters[] = { "", "L", "M", "R" };
    return form < 2 ? words[language][hash] : letters[hash];
}

static char *noise_text(RbRandom *random, const char *head)
{
    static const char *const words[] = { "dry", "wet",         "wind",
                                         "",    "look, again", "a \"note\"" };
    if (strcmp(head, "Extra 1") == 0) {
        return g_strdup("");
    }
    return strcmp(head, "Extra 2") == 0
               ? g_strdup_printf("%d", rb_random_int(random, 0, 99))
               : g_strdup(words[rb_random_int(random, 0, 5)]);
}

static char *cell_text(const Layout *layout, int column, const RbSnap *snap, bool ours,
                       RbRandom *noise)
{
    const RbLogField field = layout->fields[column];
    const RbSituation *s = &snap->situation;
    const int form = layout->forms[field];
    const int language = layout->language;
    switch (field) {
    case RB_LOG_NUMBER:
        return g_strdup_printf("%d", snap->number);
    case RB_LOG_QUARTER:
        return g_strdup_printf(form == 0 ? "Q%d" : form == 1 ? "%d." : "%d", s->quarter);
    case RB_LOG_CLOCK:
        return clock_text(s->clock_s, form);
    case RB_LOG_DOWN:
        return down_text(s->down, form, language);
    case RB_LOG_DISTANCE:
        return distance_text(s, form);
    case RB_LOG_DOWN_DISTANCE: {
        static const char *const joints[LANGUAGES] = { "and", "und", "et", "y" };
        g_autofree char *down = down_text(s->down, form, language);
        g_autofree char *distance = distance_text(s, form);
        return s->down == 0
                   ? g_strdup("")
                   : g_strdup_printf("%s %s %s", down, form < 2 ? "&" : joints[language],
                                     distance);
    }
    case RB_LOG_SPOT:
        return spot_text(layout, s, ours);
    case RB_LOG_HALF:
        return g_strdup(s->yards_to_goal == 50
                            ? ""
                            : half_word(s->yards_to_goal > 50, language, form));
    case RB_LOG_HASH:
        return g_strdup(hash_text(s->hash, language, form));
    case RB_LOG_OFFENSE:
        return g_strdup(ours ? LAYOUT_US : LAYOUT_THEM);
    case RB_LOG_PLAY:
        return g_strdup(play_word(snap->play, s->phase, language));
    case RB_LOG_RESULT:
        return result_text(snap, language);
    case RB_LOG_GAIN:
        return gain_text(snap, form);
    case RB_LOG_NOTHING:
        return noise_text(noise, layout->heads[column]);
    case RB_LOG_TEXT:
    case RB_LOG_QUARTERBACK:
    case RB_LOG_PERSONNEL:
    case RB_LOG_FORMATION:
    case RB_LOG_MOTION:
        break;
    }
    return g_strdup("");
}

static void put(GString *out, const Layout *layout, int column, const char *text)
{
    const bool quote = layout->quote_all || strchr(text, layout->delimiter) != NULL ||
                       strchr(text, '"') != NULL;
    if (column > 0) {
        g_string_append_c(out, layout->delimiter);
    }
    if (!quote) {
        g_string_append(out, text);
        return;
    }
    g_auto(GStrv) parts = g_strsplit(text, "\"", -1);
    g_autofree char *doubled = g_strjoinv("\"\"", parts);
    g_string_append_printf(out, "\"%s\"", doubled);
}

static GBytes *encode(const char *text, int encoding)
{
    static const struct {
        const char *name;
        const char *mark;
        size_t n;
    } rows[] = {
        { "UTF-8", "", 0 },
        { "UTF-8", "\xef\xbb\xbf", 3 },
        { "UTF-16LE", "\xff\xfe", 2 },
        { "UTF-16BE", "\xfe\xff", 2 },
        { "UTF-16LE", "", 0 },
        { "WINDOWS-1252", "", 0 },
    };
    gsize size = 0;
    GError *error = NULL;
    g_autofree char *bytes = g_convert_with_fallback(text, -1, rows[encoding].name,
                                                     "UTF-8", "-", NULL, &size, &error);
    rb_assert_no_error(error);
    GByteArray *out = g_byte_array_new();
    g_byte_array_append(out, (const guint8 *)rows[encoding].mark,
                        (guint)rows[encoding].n);
    g_byte_array_append(out, (const guint8 *)bytes, (guint)size);
    return g_byte_array_free_to_bytes(out);
}

GBytes *layout_write(const Layout *layout, const GPtrArray *snaps, RbTeamId us)
{
    g_autoptr(GString) out = g_string_new(NULL);
    const char *end = layout->no_lf ? "\r\n" : "\n";
    RbRandom noise;
    rb_random_seed(&noise, layout->noise);
    if (layout->title) {
        g_string_append_printf(out, "Week 3%c%s", layout->delimiter, end);
    }
    for (int i = 0; i < layout->columns; i++) {
        put(out, layout, i, layout->heads[i]);
    }
    g_string_append(out, end);
    for (guint row = 0; row < snaps->len; row++) {
        const RbSnap *snap = snaps->pdata[row];
        for (int i = 0; i < layout->columns; i++) {
            g_autofree char *text = cell_text(
                layout, i, snap, snap->situation.offense.value == us.value, &noise);
            put(out, layout, i, text);
        }
        g_string_append(out, end);
    }
    return encode(out->str, layout->encoding);
}

char **layout_maps(const Layout *layout)
{
    char **maps = g_new0(char *, layout->columns + 1);
    for (int i = 0; i < layout->columns; i++) {
        maps[i] = g_strdup_printf(
            "%d=%s", i + 1, rb_words_token(&rb_log_field_words, (int)layout->fields[i]));
    }
    return maps;
}
