/* SPDX-License-Identifier: GPL-3.0-or-later */
/* General words of the trade in English, German, French and Spanish (common practice, no
 * source), written as rb_log_plain() leaves them: lower case, no accents. */
#include <string.h>

#include "log-private.h"

char *rb_log_trim(char *text)
{
    g_strstrip(text);
    /* A no-break space is blank to a person. */
    while (g_str_has_prefix(text, "\xc2\xa0")) {
        text += 2;
    }
    for (size_t n = strlen(text); n >= 2 && strcmp(text + n - 2, "\xc2\xa0") == 0;
         n -= 2) {
        text[n - 2] = '\0';
    }
    return g_strstrip(text);
}

char *rb_log_plain(const char *text)
{
    g_autofree char *turned = g_str_is_ascii(text) ? NULL : g_str_to_ascii(text, "C");
    const char *ascii = turned != NULL ? turned : text;
    GString *out = g_string_new(NULL);
    bool gap = false;
    char last = '\0';
    for (const char *at = ascii; *at != '\0'; at++) {
        const bool joins = g_ascii_isalnum(*at);
        /* "own25" is two words. */
        const bool turns = joins && g_ascii_isalnum(last) &&
                           (g_ascii_isdigit(*at) != 0) != (g_ascii_isdigit(last) != 0);
        if (joins) {
            if ((gap || turns) && out->len > 0) {
                g_string_append_c(out, ' ');
            }
            g_string_append_c(out, g_ascii_tolower(*at));
        }
        gap = !joins;
        last = *at;
    }
    return g_string_free(out, FALSE);
}

typedef struct {
    RbLogField field;
    const char *names; /* bars between */
} Names;

static const Names names[] = {
    { RB_LOG_NUMBER,
      "play number|play no|number|no|nr|snap|snap number|play|spielzug "
      "nummer|spielzug nr|nummer|spielzug|laufende nummer|numero|numero de "
      "l action|action numero|no d action|numero de jugada|jugada numero|"
      "jugada no" },
    { RB_LOG_QUARTER, "quarter|qtr|period|viertel|spielviertel|quart temps|quart|periode|"
                      "cuarto|periodo|cuarto de juego" },
    { RB_LOG_CLOCK, "clock|game clock|time left|time|time remaining|uhr|spieluhr|"
                    "spielzeit|restzeit|zeit|chrono|chronometre|temps restant|temps|"
                    "horloge|reloj|reloj de juego|tiempo|tiempo restante" },
    { RB_LOG_DOWN, "down|versuch|tentative|essai|intento|oportunidad" },
    { RB_LOG_DISTANCE, "distance|to go|yards to go|distance to go|distanz|noch zu gehen|"
                       "yards bis first down|distance a parcourir|a parcourir|"
                       "yards a parcourir|reste a faire|distancia|por avanzar|"
                       "yardas por avanzar" },
    { RB_LOG_DOWN_DISTANCE,
      "down and distance|down distance|situation|versuch und distanz|"
      "versuch distanz|tentative et distance|tentative distance|"
      "intento y distancia|intento distancia|situacion" },
    { RB_LOG_SPOT, "yard line|spot|ball on|ball spot|line of scrimmage|field position|"
                   "yardlinie|ball auf|feldposition|ballposition|anspiellinie|"
                   "ligne de yards|ligne de verges|ballon sur|position du ballon|"
                   "position sur le terrain|yarda|linea de yardas|balon en|"
                   "posicion del balon|posicion de campo" },
    { RB_LOG_HALF, "half of the field|side of field|field side|territory|half|"
                   "spielfeldhalfte|haelfte|halfte|moitie de terrain|moitie du terrain|"
                   "moitie|camp|mitad de campo|mitad|campo" },
    { RB_LOG_HASH, "hash|hash mark|hashmark|hash marke|markierung|trait|repere|"
                   "marca|marca hash" },
    { RB_LOG_OFFENSE, "offense|team with the ball|possession|ball|team|offense team|"
                      "angriff|angreifer|ballbesitz|mannschaft|attaque|equipe|"
                      "equipe en attaque|possession du ballon|ataque|equipo|"
                      "equipo en ataque|posesion" },
    { RB_LOG_PLAY, "kind of play|play kind|play type|play|run or pass|spielart|"
                   "art des spielzugs|spielzug|spielzugart|type d action|action|"
                   "type de jeu|tipo de jugada|jugada|clase de jugada" },
    { RB_LOG_RESULT, "result|outcome|play result|ergebnis|ausgang|resultat|issue|"
                     "resultado|desenlace" },
    { RB_LOG_GAIN, "gain|yards gained|gain in yards|net yards|raumgewinn|"
                   "gewonnene yards|gewinn|gain en yards|yards gagnes|yards gagnees|"
                   "ganancia|yardas ganadas|avance" },
    { RB_LOG_TEXT, "description|play description|text|comment|play by play|beschreibung|"
                   "spielbericht|verlauf|texte|descripcion|descripcion de la jugada|"
                   "texto|relato" },
    { RB_LOG_QUARTERBACK, "quarterback|passer|passgeber|quart arriere|passeur|"
                          "mariscal de campo|pasador" },
    { RB_LOG_PERSONNEL, "personnel|personnel group|personal|personalgruppe|"
                        "groupe de joueurs|personal ofensivo" },
    { RB_LOG_FORMATION,
      "formation|offensive formation|aufstellung|formacion|alineacion" },
    { RB_LOG_MOTION, "motion|bewegung|mouvement|movimiento" },
};

/* 2: the text is the word; 1: it holds it as whole words; 0: neither. */
static LogName hold(const char *plain, const char *word, size_t n)
{
    const size_t size = strlen(plain);
    if (size == n && strncmp(plain, word, n) == 0) {
        return LOG_NAME_WHOLE;
    }
    if (n < 4) {
        return LOG_NAME_NONE; /* too short to mean anything inside other words */
    }
    for (size_t i = 0; i + n <= size; i++) {
        if (plain[i] == *word && strncmp(plain + i, word, n) == 0 &&
            (i == 0 || plain[i - 1] == ' ') &&
            (plain[i + n] == '\0' || plain[i + n] == ' ')) {
            return LOG_NAME_PART;
        }
    }
    return LOG_NAME_NONE;
}

/* The field whose name covers most of the head. length: (out): of that name. */
static LogName match(const char *plain, const Names *row, size_t *length)
{
    LogName best = LOG_NAME_NONE;
    for (const char *at = row->names; at != NULL;) {
        const char *bar = strchr(at, '|');
        const size_t n = bar != NULL ? (size_t)(bar - at) : strlen(at);
        const LogName found = hold(plain, at, n);
        if (found > best || (found == best && found != LOG_NAME_NONE && n > *length)) {
            best = found;
            *length = n;
        }
        at = bar != NULL ? bar + 1 : NULL;
    }
    return best;
}

void rb_log_name_find_all(const char *head, LogName found[RB_LOG_FIELDS])
{
    g_autofree char *plain = rb_log_plain(head);
    size_t lengths[RB_LOG_FIELDS] = { 0 };
    size_t longest = 0;
    memset(found, 0, RB_LOG_FIELDS * sizeof *found);
    for (size_t i = 0; i < G_N_ELEMENTS(names); i++) {
        const RbLogField field = names[i].field;
        found[field] = match(plain, &names[i], &lengths[field]);
        longest = MAX(longest, lengths[field]);
    }
    /* "Yards to go" is no "yard line" because of a shorter word in it. */
    for (int field = 0; field < RB_LOG_FIELDS; field++) {
        if (found[field] == LOG_NAME_PART && lengths[field] < longest) {
            found[field] = LOG_NAME_NONE;
        }
    }
}

LogName rb_log_name_find(const char *head, RbLogField field)
{
    LogName found[RB_LOG_FIELDS];
    rb_log_name_find_all(head, found);
    return found[field];
}

bool rb_log_name_is_known(const char *head)
{
    g_autofree char *plain = rb_log_plain(head);
    const size_t size = strlen(plain);
    for (size_t i = 0; i < G_N_ELEMENTS(names) && size > 0; i++) {
        for (const char *at = names[i].names; at != NULL;) {
            const char *bar = strchr(at, '|');
            const size_t n = bar != NULL ? (size_t)(bar - at) : strlen(at);
            if (n == size && strncmp(at, plain, n) == 0) {
                return true;
            }
            at = bar != NULL ? bar + 1 : NULL;
        }
    }
    return false;
}

static const LogWord *find(const LogWord *words, size_t n, const char *plain)
{
    for (size_t i = 0; i < n; i++) {
        if (hold(plain, words[i].word, strlen(words[i].word)) == LOG_NAME_WHOLE) {
            return &words[i];
        }
    }
    return NULL;
}

#define FIND(words, plain) find(words, G_N_ELEMENTS(words), plain)

/* The program's own words are understood too: what it wrote it can read. */
static bool find_own(const RbWords *words, const char *plain, int *value)
{
    for (int i = 0; i < words->n; i++) {
        g_autofree char *token = rb_log_plain(words->words[i].token);
        g_autofree char *label = rb_log_plain(words->words[i].label);
        if (strcmp(plain, token) == 0 || strcmp(plain, label) == 0) {
            *value = i;
            return *plain != '\0';
        }
    }
    return false;
}

bool rb_log_word_hash(const char *plain, RbHash *hash)
{
    static const LogWord words[] = {
        { "l", RB_HASH_LEFT },         { "left", RB_HASH_LEFT },
        { "left hash", RB_HASH_LEFT }, { "links", RB_HASH_LEFT },
        { "gauche", RB_HASH_LEFT },    { "g", RB_HASH_LEFT },
        { "izquierda", RB_HASH_LEFT }, { "i", RB_HASH_LEFT },
        { "izq", RB_HASH_LEFT },       { "m", RB_HASH_MIDDLE },
        { "c", RB_HASH_MIDDLE },       { "middle", RB_HASH_MIDDLE },
        { "mid", RB_HASH_MIDDLE },     { "center", RB_HASH_MIDDLE },
        { "centre", RB_HASH_MIDDLE },  { "mitte", RB_HASH_MIDDLE },
        { "milieu", RB_HASH_MIDDLE },  { "centro", RB_HASH_MIDDLE },
        { "medio", RB_HASH_MIDDLE },   { "r", RB_HASH_RIGHT },
        { "right", RB_HASH_RIGHT },    { "right hash", RB_HASH_RIGHT },
        { "rechts", RB_HASH_RIGHT },   { "droite", RB_HASH_RIGHT },
        { "d", RB_HASH_RIGHT },        { "derecha", RB_HASH_RIGHT },
        { "der", RB_HASH_RIGHT },
    };
    const LogWord *found = FIND(words, plain);
    if (found != NULL) {
        *hash = (RbHash)found->value;
    }
    return found != NULL;
}

bool rb_log_word_play(const char *plain, RbPlay *play, RbPhase *phase)
{
    enum { TRY = 100, PENALTY = 101 };
    static const LogWord words[] = {
        { "pass", RB_PLAY_DROPBACK },
        { "dropback", RB_PLAY_DROPBACK },
        { "passspiel", RB_PLAY_DROPBACK },
        { "passe", RB_PLAY_DROPBACK },
        { "pase", RB_PLAY_DROPBACK },
        { "quick", RB_PLAY_QUICK },
        { "quick game", RB_PLAY_QUICK },
        { "play action", RB_PLAY_ACTION },
        { "boot", RB_PLAY_BOOT },
        { "sprint out", RB_PLAY_SPRINT_OUT },
        { "screen", RB_PLAY_SCREEN },
        { "run pass option", RB_PLAY_RUN_PASS_OPTION },
        { "run", RB_PLAY_RUN },
        { "rush", RB_PLAY_RUN },
        { "lauf", RB_PLAY_RUN },
        { "laufspiel", RB_PLAY_RUN },
        { "course", RB_PLAY_RUN },
        { "carrera", RB_PLAY_RUN },
        { "acarreo", RB_PLAY_RUN },
        { "spike", RB_PLAY_SPIKE },
        { "kneel", RB_PLAY_KNEEL },
        { "kneel down", RB_PLAY_KNEEL },
        { "abknien", RB_PLAY_KNEEL },
        { "genou", RB_PLAY_KNEEL },
        { "rodilla", RB_PLAY_KNEEL },
        { "punt", RB_PLAY_PUNT },
        { "degagement", RB_PLAY_PUNT },
        { "despeje", RB_PLAY_PUNT },
        { "field goal", RB_PLAY_FIELD_GOAL },
        { "gol de campo", RB_PLAY_FIELD_GOAL },
        { "kickoff", RB_PLAY_KICKOFF },
        { "kick off", RB_PLAY_KICKOFF },
        { "coup d envoi", RB_PLAY_KICKOFF },
        { "patada inicial", RB_PLAY_KICKOFF },
        { "other", RB_PLAY_OTHER },
        { "try", TRY },
        { "extra point", TRY },
        { "extrapunkt", TRY },
        { "transformation", TRY },
        { "punto extra", TRY },
        { "penalty", PENALTY },
        { "strafe", PENALTY },
        { "penalite", PENALTY },
        { "castigo", PENALTY },
    };
    const LogWord *found = FIND(words, plain);
    int own = 0;
    if (found == NULL && find_own(&rb_play_words, plain, &own)) {
        *play = (RbPlay)own;
        *phase = RB_PHASE_SCRIMMAGE;
        return true;
    }
    if (found == NULL) {
        return false;
    }
    *play = found->value == TRY       ? RB_PLAY_FIELD_GOAL
            : found->value == PENALTY ? RB_PLAY_UNKNOWN
                                      : (RbPlay)found->value;
    *phase = found->value == TRY               ? RB_PHASE_TRY
             : found->value == RB_PLAY_KICKOFF ? RB_PHASE_FREE_KICK
                                               : RB_PHASE_SCRIMMAGE;
    return true;
}

static bool word_ending(const char *plain, RbEnding *ending)
{
    static const LogWord words[] = {
        { "touchdown", RB_ENDING_TOUCHDOWN },
        { "td", RB_ENDING_TOUCHDOWN },
        { "safety", RB_ENDING_SAFETY },
        { "fumble lost", RB_ENDING_FUMBLE_LOST },
        { "lost fumble", RB_ENDING_FUMBLE_LOST },
        { "fumble verloren", RB_ENDING_FUMBLE_LOST },
        { "ballverlust", RB_ENDING_FUMBLE_LOST },
        { "ballon perdu", RB_ENDING_FUMBLE_LOST },
        { "balon perdido", RB_ENDING_FUMBLE_LOST },
        { "balon suelto perdido", RB_ENDING_FUMBLE_LOST },
        { "touchdown against", RB_ENDING_TOUCHDOWN_AGAINST },
        { "dead ball", RB_ENDING_NONE },
        { "first down", RB_ENDING_NONE },
        { "out of bounds", RB_ENDING_NONE },
    };
    const LogWord *found = FIND(words, plain);
    if (found != NULL) {
        *ending = (RbEnding)found->value;
    }
    return found != NULL;
}

static const LogWord result_words[] = {
    { "complete", RB_RESULT_COMPLETE },
    { "completion", RB_RESULT_COMPLETE },
    { "caught", RB_RESULT_COMPLETE },
    { "vollstandig", RB_RESULT_COMPLETE },
    { "gefangen", RB_RESULT_COMPLETE },
    { "reussie", RB_RESULT_COMPLETE },
    { "completee", RB_RESULT_COMPLETE },
    { "passe reussie", RB_RESULT_COMPLETE },
    { "completo", RB_RESULT_COMPLETE },
    { "pase completo", RB_RESULT_COMPLETE },
    { "incomplete", RB_RESULT_INCOMPLETE },
    { "incompletion", RB_RESULT_INCOMPLETE },
    { "unvollstandig", RB_RESULT_INCOMPLETE },
    { "nicht gefangen", RB_RESULT_INCOMPLETE },
    { "manquee", RB_RESULT_INCOMPLETE },
    { "passe incomplete", RB_RESULT_INCOMPLETE },
    { "incompleto", RB_RESULT_INCOMPLETE },
    { "pase incompleto", RB_RESULT_INCOMPLETE },
    { "intercepted", RB_RESULT_INTERCEPTED },
    { "interception", RB_RESULT_INTERCEPTED },
    { "abgefangen", RB_RESULT_INTERCEPTED },
    { "interceptee", RB_RESULT_INTERCEPTED },
    { "intercepcion", RB_RESULT_INTERCEPTED },
    { "interceptado", RB_RESULT_INTERCEPTED },
    { "sack", RB_RESULT_SACK },
    { "sacked", RB_RESULT_SACK },
    { "captura", RB_RESULT_SACK },
    { "scramble", RB_RESULT_SCRAMBLE },
    { "thrown away", RB_RESULT_THROWN_AWAY },
    { "throwaway", RB_RESULT_THROWN_AWAY },
    { "weggeworfen", RB_RESULT_THROWN_AWAY },
    { "ballon jete", RB_RESULT_THROWN_AWAY },
    { "balon tirado", RB_RESULT_THROWN_AWAY },
    { "run", RB_RESULT_RUN },
    { "rush", RB_RESULT_RUN },
    { "lauf", RB_RESULT_RUN },
    { "course", RB_RESULT_RUN },
    { "carrera", RB_RESULT_RUN },
    { "acarreo", RB_RESULT_RUN },
    { "kick good", RB_RESULT_KICK_GOOD },
    { "good", RB_RESULT_KICK_GOOD },
    { "gut", RB_RESULT_KICK_GOOD },
    { "reussi", RB_RESULT_KICK_GOOD },
    { "bueno", RB_RESULT_KICK_GOOD },
    { "kick missed", RB_RESULT_KICK_MISSED },
    { "no good", RB_RESULT_KICK_MISSED },
    { "missed", RB_RESULT_KICK_MISSED },
    { "verfehlt", RB_RESULT_KICK_MISSED },
    { "rate", RB_RESULT_KICK_MISSED },
    { "fallado", RB_RESULT_KICK_MISSED },
    { "kicked away", RB_RESULT_KICKED },
    { "kicked", RB_RESULT_KICKED },
    { "punt", RB_RESULT_KICKED },
    { "gekickt", RB_RESULT_KICKED },
    { "botte", RB_RESULT_KICKED },
    { "pateado", RB_RESULT_KICKED },
    { "despeje", RB_RESULT_KICKED },
    { "no play", RB_RESULT_NO_PLAY },
    { "kein spielzug", RB_RESULT_NO_PLAY },
    { "action annulee", RB_RESULT_NO_PLAY },
    { "jugada anulada", RB_RESULT_NO_PLAY },
};

bool rb_log_word_result(const char *plain, RbLogSaid *said)
{
    const LogWord *found = FIND(result_words, plain);
    int own = 0;
    if (found == NULL && word_ending(plain, &said->ending)) {
        return true;
    }
    if (found == NULL && find_own(&rb_result_words, plain, &own)) {
        said->result = (RbResult)own;
        return true;
    }
    if (found == NULL) {
        return false;
    }
    said->result = (RbResult)found->value;
    return true;
}

bool rb_log_word_half(const char *plain, bool *own)
{
    static const LogWord words[] = {
        { "own", true },       { "o", true },          { "eigene", true },
        { "eigen", true },     { "eigener", true },    { "propre", true },
        { "propia", true },    { "propio", true },     { "opp", false },
        { "opponent", false }, { "opponents", false }, { "gegner", false },
        { "gegn", false },     { "adverse", false },   { "adv", false },
        { "rival", false },    { "contraria", false }, { "contrario", false },
    };
    const LogWord *found = FIND(words, plain);
    if (found != NULL) {
        *own = found->value;
    }
    return found != NULL;
}

bool rb_log_word_goal(const char *plain)
{
    static const LogWord words[] = { { "goal", 0 }, { "goal line", 0 }, { "ziel", 0 },
                                     { "but", 0 },  { "gol", 0 },       { "meta", 0 } };
    return FIND(words, plain) != NULL;
}

bool rb_log_word_us(const char *plain, bool *us)
{
    static const LogWord words[] = {
        { "us", true },          { "we", true },     { "ours", true },
        { "wir", true },         { "nous", true },   { "nosotros", true },
        { "them", false },       { "they", false },  { "theirs", false },
        { "opponent", false },   { "opp", false },   { "gegner", false },
        { "adversaire", false }, { "rival", false },
    };
    const LogWord *found = FIND(words, plain);
    if (found != NULL) {
        *us = found->value;
    }
    return found != NULL;
}
