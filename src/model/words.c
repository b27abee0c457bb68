/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/model/words.h"

RbSide rb_side_other(RbSide side)
{
    return side;
}
