"""HOW-TO-VERIFY.txt: commands of ordinary tools, to be run in the unpacked folder. A test runs them as they stand."""

RECIPE = """\
# 1. Every file is the one that was packed.
sha256sum --quiet -c SHA256SUMS && echo "FILES: all as packed"

# 2. Every record is the one whose digest the ledger states, with a sound seal that the operator's root vouches for.
for record in records/*.pdf; do
  [ -e "$record" ] || continue
  set -- $(grep -a -o '/ByteRange \\[[0-9 ]*\\]' "$record" | head -n 1 | tr -d '[]' | cut -d ' ' -f 2-)
  grep -q "$(sha256sum "$record" | cut -d ' ' -f 1)" ledger/entries.jsonl && [ $# -eq 4 ] \\
    && head -c "$(($3 + $4))" "$record" > sealed.pdf \\
    && { head -c "$2" sealed.pdf; tail -c "$4" sealed.pdf; } > signed-bytes \\
    && pdfsig -nocert sealed.pdf > said && grep -q "Signature is Valid." said && grep -q "Total document signed" said \\
    && pdfsig -nocert -dump sealed.pdf > /dev/null \\
    && openssl cms -verify -inform DER -in sealed.pdf.sig0 -content signed-bytes -binary -CAfile ca.pem -purpose any \\
         -out /dev/null 2> /dev/null \\
    && echo "SEAL: $record sound" || echo "SEAL: $record NOT SOUND"
  rm -f sealed.pdf said signed-bytes sealed.pdf.sig0
done

# 3. Every entry of the ledger has the digest that the next one names: nothing was changed, taken out or put in.
while IFS= read -r entry; do printf '%s' "$entry" | sha256sum | cut -d ' ' -f 1; done < ledger/entries.jsonl > computed
diff -q computed ledger/digests.txt > /dev/null && echo "LEDGER: digests right" || echo "LEDGER: DIGESTS WRONG"
sed -E 's/.*"previous":"([0-9a-f]{64})","recorded_at".*/\\1/' ledger/entries.jsonl > named
{ printf '%064d\\n' 0; sed '$d' ledger/digests.txt; } | diff -q - named > /dev/null \\
  && echo "LEDGER: chain whole" || echo "LEDGER: CHAIN BROKEN"
rm -f computed named

# 4. Each sealed day's root has the chain's head of that day in it (RFC 9162).
for proof in ledger/day-*.proof; do
  [ -e "$proof" ] || continue
  hash=$({ printf '\\0'; sed -n 's/^leaf //p' "$proof" | tr -d '\\n'; } | sha256sum | cut -d ' ' -f 1)
  while read -r side other; do
    case $side in
      left) both=$other$hash ;;
      right) both=$hash$other ;;
      *) continue ;;
    esac
    hash=$(printf '01%s' "$both" | tr a-f A-F | basenc -d --base16 | sha256sum | cut -d ' ' -f 1)
  done < "$proof"
  grep -q "^root $hash\\$" "$proof" && grep -q "$(sed -n 's/^leaf .* //p' "$proof")" ledger/digests.txt \\
    && echo "DAY: $proof holds" || echo "DAY: $proof DOES NOT HOLD"
done

# 5. Every photo as it was kept is one whose digest the ledger states.
for photo in photos/*; do
  [ -e "$photo" ] || continue
  grep -q "$(sha256sum "$photo" | cut -d ' ' -f 1)" ledger/entries.jsonl \\
    && echo "PHOTO: $photo stated" || echo "PHOTO: $photo NOT STATED"
done
"""

MANUAL = """\
{title}

This folder can be checked without the program that made it, with coreutils, poppler-utils (pdfsig) and openssl.
Open a shell (bash) in the unpacked folder and run:

----------------------------------------------------------------------------------------------------------------
{recipe}----------------------------------------------------------------------------------------------------------------

It holds when FILES says "all as packed", every SEAL line says "sound", both LEDGER lines say "right" and "whole",
every DAY line says "holds", and every PHOTO line says "stated". ca.pem is the operator's root certificate: compare
it with one obtained from the operator by another way before relying on it.

What is what:
  summary.pdf          the dispute in words: what was claimed, what was found, the arithmetic, the decision
  letter.pdf           what the customer was told, once it was decided
  records/             the sealed records of pickup and return; their data is attached in each as record.json
  statements/          each version: what it was priced from, and the result; the ledger states the SHA-256 of both
  photos/              originals as kept (only their place was taken out); the ledger states the SHA-256 of each
  photos-smaller/      copies of originals that would not have fitted; manifest.json names the original's SHA-256
  pairs/               the same view at pickup and at return, side by side
  ledger/entries.jsonl one entry a line, the very bytes its SHA-256 is taken over (RFC 8785); personal data stand in
                       it as salted digests only
  ledger/day-*         for each day that is sealed: the way up to its root, and the sealed text itself
  manifest.json        every file with its SHA-256 and size, and what was left out or made smaller and why

{limits}
"""


def manual(title: str, limits: str) -> str:
    return MANUAL.format(title=title, recipe=RECIPE, limits=limits)


def recipe_in(text: str) -> str:
    """The commands between the two rules, for whoever runs them."""
    return text.split("-" * 112 + "\n")[1]
