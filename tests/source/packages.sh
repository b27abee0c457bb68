# SPDX-License-Identifier: GPL-3.0-or-later
# Every pkg-config file and tool that the build and the scripts use comes from the packages of
# ui/packages, from what these depend on, or from what every Debian system has.
set -eu
cd "$RB_SOURCE"
. ui/install.sh
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT

# The closure: listed packages and all they depend on, as installed here.
dpkg-query -W -f '${Package}\t${Essential}\t${Priority}\t${Pre-Depends}, ${Depends}\t${Provides}\n' \
  >"$scratch/status"
packages_of run test >"$scratch/listed"
python3 - "$scratch" >"$scratch/closure" <<'PY'
import re, sys
folder = sys.argv[1]
depends, provides, always = {}, {}, []
for line in open(folder + "/status"):
    name, essential, priority, need, give = line.rstrip("\n").split("\t")
    names = lambda text: [re.split(r"[ :(]", alt.strip())[0] for part in text.split(",")
                          for alt in part.split("|") if alt.strip()]
    depends[name] = names(need)
    for virtual in names(give):
        provides.setdefault(virtual, []).append(name)
    if essential == "yes" or priority == "required":
        always.append(name)
todo, seen = always + open(folder + "/listed").read().split(), set()
while todo:
    name = todo.pop()
    if name in seen:
        continue
    seen.add(name)
    todo += depends.get(name, []) + provides.get(name, [])
print("\n".join(sorted(seen)))
PY

failed=0
check_file() { # what it is for, path
  real=$(readlink -f "$2")
  owner=$(dpkg-query -S "$2" 2>/dev/null || dpkg-query -S "$real" 2>/dev/null ||
    dpkg-query -S "${real#/usr}" 2>/dev/null || :)
  owner=$(echo "$owner" | grep -v '^diversion' | head -n 1 | cut -d: -f1)
  [ -n "$owner" ] || {
    echo "$1: $2 belongs to no package"
    failed=1
    return
  }
  grep -qx "$owner" "$scratch/closure" || {
    echo "$1 comes from $owner, which ui/packages neither lists nor brings in"
    failed=1
  }
}

for name in $(git ls-files '*meson.build' | xargs sed -n "s/.*dependency('\([^']*\)'.*/\1/p" | sort -u); do
  [ "$name" != threads ] || continue
  path=$(pkg-config --path "$name" 2>/dev/null || :)
  [ -n "$path" ] || {
    echo "pkg-config knows no $name"
    failed=1
    continue
  }
  check_file "pkg-config file $name" "$path"
done

# Words in command position in our scripts, and the programs that tests start by name.
{
  git ls-files ui/run tests/run .ci/run '*.sh' | xargs cat |
    sed -e 's/#.*//' | grep -oE '(^|[|;&(`] *|&& *|\$\(|then |do |exec |as_root |xargs |env [A-Z_=a-z]* *)[a-z][a-z0-9-]+' |
    grep -oE '[a-z][a-z0-9-]+$'
  git ls-files '*meson.build' | xargs sed -n "s/.*find_program('\([^']*\)'.*/\1/p"
  git ls-files 'tests/*.py' 'ui/*.py' | xargs -r grep -ohE '(^|[^]A-Za-z0-9_)])\["[a-z][a-z0-9-]+"' |
    grep -oE '[a-z][a-z0-9-]+"$' | tr -d '"'
} | sort -u >"$scratch/words"
while read -r word; do
  for folder in /usr/bin /bin /usr/sbin; do
    if [ -x "$folder/$word" ] && [ ! -d "$folder/$word" ]; then
      check_file "tool $word" "$folder/$word"
      break
    fi
  done
done <"$scratch/words"
exit $failed
