pdfsig -nocert record.pdf
pdfsig -nocert -dump record.pdf
set -- $(grep -a -o '/ByteRange \[[0-9 ]*\]' record.pdf | tr -d '[]' | cut -d ' ' -f 2-)
{ head -c "$2" record.pdf; tail -c "$4" record.pdf; } > signed-bytes
openssl cms -verify -inform DER -in record.pdf.sig0 -content signed-bytes -binary -CAfile ca.pem -purpose any -out /dev/null
pdfdetach -save 1 -o record.json record.pdf
sha256sum record.pdf record.json
