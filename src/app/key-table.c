/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n.h>

#include "keys.h"

/* A row an action; RB_FIXED rows are told, and cannot be changed: the widget that has the focus
 * takes them itself. */
#define RB_FIXED NULL

const RbKey rb_key_table[] = {
    { "win.play", "space", N_("Play or pause"), RB_KEYS_FILM },
    { "win.step(-1)", "Left", N_("One frame back"), RB_KEYS_FILM },
    { "win.step(1)", "Right", N_("One frame forward"), RB_KEYS_FILM },
    { "win.shuttle(-1)", "j", N_("Slower, or backward"), RB_KEYS_FILM },
    { "win.shuttle(1)", "l", N_("Faster"), RB_KEYS_FILM },
    { "win.stop", "k", N_("Stop playing"), RB_KEYS_FILM },
    { "win.jump(-1)", "bracketleft", N_("Mark before"), RB_KEYS_FILM },
    { "win.jump(1)", "bracketright", N_("Next mark"), RB_KEYS_FILM },
    { "win.jump(0)", "s", N_("To the snap"), RB_KEYS_FILM },
    { "film.loop", "o", N_("Loop, on or off"), RB_KEYS_FILM },
    { "film.span(0)", "comma", N_("First frame of the span to play"), RB_KEYS_FILM },
    { "film.span(1)", "period", N_("Last frame of the span to play"), RB_KEYS_FILM },
    { "film.span(-1)", "slash", N_("The whole clip again"), RB_KEYS_FILM },
    { "film.zoom(1)", "plus <Shift>plus equal KP_Add", N_("Closer"), RB_KEYS_FILM },
    { "film.zoom(-1)", "minus KP_Subtract", N_("Farther"), RB_KEYS_FILM },
    { "film.zoom(0)", "0", N_("The whole picture"), RB_KEYS_FILM },
    { "film.pan(0)", "<Shift>Left", N_("An enlarged picture: left"), RB_KEYS_FILM },
    { "film.pan(1)", "<Shift>Right", N_("An enlarged picture: right"), RB_KEYS_FILM },
    { "film.pan(2)", "<Shift>Up", N_("An enlarged picture: up"), RB_KEYS_FILM },
    { "film.pan(3)", "<Shift>Down", N_("An enlarged picture: down"), RB_KEYS_FILM },
    { "film.both", "b", N_("Both angles side by side, or one"), RB_KEYS_FILM },
    { "win.switch-angle", "a", N_("Other angle, same moment"), RB_KEYS_FILM },
    { "win.draw", "d", N_("Draw over the film"), RB_KEYS_FILM },
    { "win.measure", "m", N_("Measure on the film"), RB_KEYS_FILM },
    { "film.counts", "F9", N_("How many frames were shown, left out, late"),
      RB_KEYS_FILM },

    { "log.film", "<Shift>F2", N_("Log snaps on a whole film, or end it"),
      RB_KEYS_MARKS },
    { "log.end(0)", "F6", N_("The clip starts here"), RB_KEYS_MARKS },
    { "log.mark('snap')", "F2", N_("Snap"), RB_KEYS_MARKS },
    { "log.mark('top')", "F3", N_("Top of the drop"), RB_KEYS_MARKS },
    { "log.mark('release')", "F4", N_("Release"), RB_KEYS_MARKS },
    { "log.mark('arrival')", "F5", N_("Arrival"), RB_KEYS_MARKS },
    { "log.end(1)", "F7", N_("The clip ends here"), RB_KEYS_MARKS },
    { "log.split", "<Shift>F6", N_("Split: a new snap begins here"), RB_KEYS_MARKS },
    { "log.join", "<Shift>F7", N_("Join with the next clip of the snap"), RB_KEYS_MARKS },
    { "log.move(-1)", "F11", N_("Move the clip to the snap before"), RB_KEYS_MARKS },
    { "log.move(1)", "F12", N_("Move the clip to the snap after"), RB_KEYS_MARKS },
    { "log.cut-early", "F8", N_("Cut early, or not"), RB_KEYS_MARKS },
    { "log.one-angle", "<Shift>F8", N_("One angle only, or not"), RB_KEYS_MARKS },
    { RB_FIXED, "Return", N_("On a whole film: log the clip that is proposed"),
      RB_KEYS_MARKS },

    { "win.go(1)", "n", N_("Next snap"), RB_KEYS_SNAP },
    { "win.go(-1)", "p", N_("Snap before"), RB_KEYS_SNAP },
    { "win.rail", "r", N_("Go to the question that is due"), RB_KEYS_SNAP },
    { "win.tags", "g", N_("Go to the tags"), RB_KEYS_SNAP },
    { "win.settle", "t", N_("The tag that settles the verdict"), RB_KEYS_SNAP },
    { "win.read(1)", "1 KP_1", N_("Look of read 1: open, covered, can't tell"),
      RB_KEYS_SNAP },
    { "win.read(2)", "2 KP_2", N_("Look of read 2"), RB_KEYS_SNAP },
    { "win.read(3)", "3 KP_3", N_("Look of read 3"), RB_KEYS_SNAP },
    { "win.read(4)", "4 KP_4", N_("Look of read 4"), RB_KEYS_SNAP },
    { "win.read(5)", "5 KP_5", N_("Look of read 5"), RB_KEYS_SNAP },
    { "win.read(6)", "6 KP_6", N_("Look of read 6"), RB_KEYS_SNAP },
    { "win.read(7)", "7 KP_7", N_("Look of read 7"), RB_KEYS_SNAP },
    { "win.read(8)", "8 KP_8", N_("Look of read 8"), RB_KEYS_SNAP },
    { RB_FIXED, "Up Down", N_("Through the tags"), RB_KEYS_SNAP },

    { RB_FIXED, "Return", N_("Accept the likeliest"), RB_KEYS_QUESTION },
    { RB_FIXED, "Tab", N_("Leave it open"), RB_KEYS_QUESTION },
    { RB_FIXED, "BackSpace", N_("Back to the question before"), RB_KEYS_QUESTION },
    { RB_FIXED, "Up Down", N_("Choose another"), RB_KEYS_QUESTION },
    { RB_FIXED, "slash", N_("Find a choice by its name"), RB_KEYS_QUESTION },
    { RB_FIXED, "semicolon", N_("The sides one by one"), RB_KEYS_QUESTION },

    { RB_FIXED, "l a c t", N_("Line, arrow, circle, text"), RB_KEYS_DRAWING },
    { RB_FIXED, "Left Right Up Down", N_("Move the point"), RB_KEYS_DRAWING },
    { RB_FIXED, "Return", N_("Set the point"), RB_KEYS_DRAWING },
    { RB_FIXED, "Delete BackSpace", N_("Take the last one off"), RB_KEYS_DRAWING },
    { RB_FIXED, "Escape", N_("End drawing"), RB_KEYS_DRAWING },

    { RB_FIXED, "1...9 0 d v", N_("What is measured"), RB_KEYS_MEASURING },
    { RB_FIXED, "Page_Up Page_Down", N_("The mark on another yard line"),
      RB_KEYS_MEASURING },
    { RB_FIXED, "h s t b l", N_("Hash, sideline, top, bottom of the numbers, a line"),
      RB_KEYS_MEASURING },
    { RB_FIXED, "o x", N_("The other half, the other end of the field"),
      RB_KEYS_MEASURING },
    { RB_FIXED, "Left Right Up Down", N_("Nudge what was clicked last"),
      RB_KEYS_MEASURING },
    { RB_FIXED, "Return", N_("Click, or keep what is measured"), RB_KEYS_MEASURING },
    { RB_FIXED, "BackSpace Delete", N_("Take back what was clicked last"),
      RB_KEYS_MEASURING },
    { RB_FIXED, "n", N_("Mark this frame anew"), RB_KEYS_MEASURING },
    { RB_FIXED, "Tab", N_("What was measured: Return goes there, Delete takes it off"),
      RB_KEYS_MEASURING },
    { RB_FIXED, "Escape", N_("Stop following the field; end measuring"),
      RB_KEYS_MEASURING },

    { RB_FIXED, "<Control>n", N_("New concept"), RB_KEYS_PLAYBOOK },
    { RB_FIXED, "<Control>f", N_("Find a concept"), RB_KEYS_PLAYBOOK },
    /* Translators: the letters that "_Add read" and "Add r_ule" underline. */
    { RB_FIXED, N_("<Alt>a <Alt>u"), N_("Add a read, a rule"), RB_KEYS_PLAYBOOK },
    { RB_FIXED, "<Alt>Up <Alt>Down", N_("Move the chosen read or rule"),
      RB_KEYS_PLAYBOOK },
    { RB_FIXED, "Return", N_("To the fields of the chosen read or rule"),
      RB_KEYS_PLAYBOOK },
    { RB_FIXED, "Delete", N_("Remove the chosen read or rule"), RB_KEYS_PLAYBOOK },
    { RB_FIXED, "F6", N_("On to reads, rules, picture, concepts"), RB_KEYS_PLAYBOOK },

    { RB_FIXED, "Up Down Left Right", N_("Through the table, the ladder"),
      RB_KEYS_PAIRINGS },
    { RB_FIXED, "Return", N_("From table to ladder to snaps to film"), RB_KEYS_PAIRINGS },
    { RB_FIXED, "s", N_("Sort the table"), RB_KEYS_PAIRINGS },
    { "win.make-live-cutup", "<Shift>c", N_("A cut-up that follows the filter"),
      RB_KEYS_PAIRINGS },
    { "win.print::pairing", "<Control>p", N_("Print the pairing"), RB_KEYS_PAIRINGS },
    { "win.export::pairing", "<Control>e", N_("Export the pairing"), RB_KEYS_PAIRINGS },
    { "win.export::figures", "<Control><Shift>e", N_("Export the table"),
      RB_KEYS_PAIRINGS },
    { "win.cancel-export", "<Control>period", N_("Stop an export"), RB_KEYS_PAIRINGS },

    { "win.quiz", "q", N_("The quiz about the snaps listed"), RB_KEYS_QUARTERBACK },
    { RB_FIXED, "1...9", N_("Quiz: that answer"), RB_KEYS_QUARTERBACK },
    { RB_FIXED, "space", N_("Quiz: on"), RB_KEYS_QUARTERBACK },

    { RB_FIXED, "Return", N_("Watch from this clip on, or stop"), RB_KEYS_CUTUPS },
    { RB_FIXED, "<Alt>Up <Alt>Down", N_("Move the clip"), RB_KEYS_CUTUPS },
    { RB_FIXED, "Delete", N_("Take the clip out"), RB_KEYS_CUTUPS },
    { RB_FIXED, "F2", N_("Name and note of the cut-up"), RB_KEYS_CUTUPS },
    { RB_FIXED, "e", N_("Export the cut-up"), RB_KEYS_CUTUPS },

    { RB_FIXED, "Return", N_("Show the snap"), RB_KEYS_TABLE },
    { RB_FIXED, "F2", N_("Change the cell"), RB_KEYS_TABLE },
    { RB_FIXED, "<Shift>s", N_("Sort by the column of the cell; again: the other way"),
      RB_KEYS_TABLE },
    { RB_FIXED, "<Shift>Up <Shift>Down", N_("Choose several snaps"), RB_KEYS_TABLE },

    { "win.make-cutup", "c", N_("The snaps that are listed or chosen become a cut-up"),
      RB_KEYS_EVERYWHERE },
    { "win.desk::chart", "<Control>1", N_("Chart"), RB_KEYS_EVERYWHERE },
    { "win.desk::playbook", "<Control>2", N_("Playbook"), RB_KEYS_EVERYWHERE },
    { "win.desk::pairings", "<Control>3", N_("Pairings"), RB_KEYS_EVERYWHERE },
    { "win.desk::quarterback", "<Control>4", N_("Quarterback"), RB_KEYS_EVERYWHERE },
    { "win.desk::cut-ups", "<Control>5", N_("Cut-ups"), RB_KEYS_EVERYWHERE },
    { "win.drawer::snaps", "<Control>l", N_("Snaps of the game as a table"),
      RB_KEYS_EVERYWHERE },
    { "win.drawer::open-ends", "<Control>m", N_("What is still open"),
      RB_KEYS_EVERYWHERE },
    { "win.drawer::history", "<Control>h", N_("History"), RB_KEYS_EVERYWHERE },
    { "win.drawer::two-charts", "<Control>b", N_("Who charts; two charts side by side"),
      RB_KEYS_EVERYWHERE },
    { "win.undo", "<Control>z", N_("Undo"), RB_KEYS_EVERYWHERE },
    { "win.redo", "<Control><Shift>z <Control>y", N_("Redo"), RB_KEYS_EVERYWHERE },
    { "win.open-library", "<Control>o", N_("Open a library"), RB_KEYS_EVERYWHERE },
    { "win.new-library", "<Control><Shift>n", N_("Make a new library"),
      RB_KEYS_EVERYWHERE },
    { "win.new-game", "<Control><Shift>g", N_("Add a game"), RB_KEYS_EVERYWHERE },
    { "win.load-film", "<Control><Shift>o", N_("Load film"), RB_KEYS_EVERYWHERE },
    { "win.find-snaps", "<Control><Shift>s", N_("Find the snaps in the film"),
      RB_KEYS_EVERYWHERE },
    { "win.play-log", "<Control><Shift>l", N_("Take in a play log"), RB_KEYS_EVERYWHERE },
    { "win.exchange", "<Control><Shift>x", N_("Exchange with the staff"),
      RB_KEYS_EVERYWHERE },
    { "win.step-out", "Escape", N_("One step out"), RB_KEYS_EVERYWHERE },
    { RB_FIXED, "F10", N_("Menu"), RB_KEYS_EVERYWHERE },
    { "win.help", "F1", N_("Help on what has the keyboard"), RB_KEYS_EVERYWHERE },
    { "win.keys", "<Shift>F1 <Control>question", N_("These keys"), RB_KEYS_EVERYWHERE },
    { "window.close", "<Control>q <Control>w", N_("Close the window"),
      RB_KEYS_EVERYWHERE },
};

const int rb_n_keys = G_N_ELEMENTS(rb_key_table);

const char *rb_key_group_title(RbKeyGroup group)
{
    switch (group) {
    case RB_KEYS_FILM:
        return _("Film, on the Chart and Cut-ups desks");
    case RB_KEYS_MARKS:
        return _("Marks and clips, on the frame shown");
    case RB_KEYS_SNAP:
        return _("Snap and tags, on the Chart desk");
    case RB_KEYS_QUESTION:
        return _("A question of the rail; letters and digits answer it");
    case RB_KEYS_DRAWING:
        return _("While you draw over the film");
    case RB_KEYS_MEASURING:
        return _("While you measure on the film");
    case RB_KEYS_PLAYBOOK:
        return _("Playbook");
    case RB_KEYS_PAIRINGS:
        return _("Pairings");
    case RB_KEYS_QUARTERBACK:
        return _("Quarterback and quiz");
    case RB_KEYS_CUTUPS:
        return _("Cut-ups");
    case RB_KEYS_TABLE:
        return _("The table of snaps");
    case RB_KEYS_EVERYWHERE:
        return _("Everywhere");
    case RB_KEY_GROUPS:
        break;
    }
    return "";
}
