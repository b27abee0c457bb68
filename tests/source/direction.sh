# SPDX-License-Identifier: GPL-3.0-or-later
# The include direction is held by the build: a file of a part that includes a header of a part
# it may not use must fail to compile with that part's own flags, and one it may use must pass.
set -eu
allowed() { # part: the parts it may include, itself among them
  case $1 in
  base) echo base ;;
  model) echo base model ;;
  book) echo base model book ;;
  read) echo base model read ;;
  stats) echo base model read stats ;;
  field) echo base field ;;
  film) echo base film ;;
  store) echo base model book store ;;
  report) echo base model read stats report ;;
  work) echo base model book read stats field film store report work ;;
  esac
}
parts='base model book read stats field film store report work'
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
failed=0
for part in $parts; do
  # The flags of the part's first object, without its own input and output.
  flags=$(python3 - "$RB_BUILD" "$part" <<'PY'
import json, shlex, sys
build, part = sys.argv[1:]
commands = open(build + "/compile_commands.json")
for entry in json.load(commands):
    if entry["output"].startswith(f"src/{part}/librb-{part}.a.p/"):
        words = shlex.split(entry["command"])
        keep = [w for w in words if w.startswith(("-I", "-isystem", "-D", "-std"))]
        print(shlex.join(keep))
        break
PY
)
  [ -n "$flags" ] || {
    echo "No object of $part in the build."
    failed=1
    continue
  }
  for other in $parts; do
    header=$(cd "$RB_SOURCE/include" && ls "rb/$other"/*.h 2>/dev/null | head -n 1)
    [ -n "$header" ] || continue
    printf '#include "%s"\n' "$header" >"$scratch/try.c"
    if (cd "$RB_BUILD" && eval "cc -w -fsyntax-only $flags \"$scratch/try.c\"") 2>/dev/null; then
      compiles=yes
    else
      compiles=no
    fi
    case " $(allowed "$part") " in
    *" $other "*) want=yes ;;
    *) want=no ;;
    esac
    [ "$compiles" = "$want" ] || {
      echo "$part includes $header: compiles $compiles, should be $want"
      failed=1
    }
  done
done
exit $failed
