# SPDX-License-Identifier: GPL-3.0-or-later
# Run by ui/screenshots under its virtual display: $1 has the library, $2 takes the pictures.
set -eu
scratch=$1
folder=$2
build/src/app/readbreak "$scratch/season.readbreak" &
program=$!
trap 'kill $program' EXIT

# Waits until the picture has not changed for a second.
settle() {
  same=0
  before=
  tries=0
  while [ $same -lt 4 ] && [ $tries -lt 240 ]; do
    now=$(import -window root rgb:- | sha256sum)
    if [ "$now" = "$before" ]; then same=$((same + 1)); else same=0; fi
    before=$now
    tries=$((tries + 1))
    sleep 0.25
  done
}

# As many colours as a small file holds: film has more.
shoot() {
  import -window root +dither -colors 255 "PNG8:$folder/screenshot-$1.png"
}

window=$(xdotool search --sync --onlyvisible --name Readbreak | head -n 1)
size=$(xdotool getdisplaygeometry)
xdotool windowsize --sync "$window" ${size% *} ${size#* }
xdotool windowfocus --sync "$window"
# Away from what would show its tooltip.
xdotool mousemove 2 2
settle
xdotool key ctrl+3
settle
shoot pairings
xdotool key ctrl+4
settle
shoot quarterback
xdotool key ctrl+2
settle
shoot playbook
xdotool key ctrl+3
settle
# From the pairing that breaks to a snap of it with film, on the moment of the throw.
xdotool key Return
settle
xdotool key Return
settle
xdotool key Down Down Down Return
settle
xdotool key bracketright bracketright
xdotool key --repeat 25 --delay 30 Down
settle
shoot chart
