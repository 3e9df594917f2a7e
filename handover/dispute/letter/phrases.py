"""What a letter about a decision says, in each language of the briefing. Pure; named places are filled in writing.py.

`approved`: someone who speaks the language has read it. Until then the letter says that it is a draft translation, and
the English letter stands below it and counts.
"""

from dataclasses import dataclass, fields


@dataclass(frozen=True, slots=True)
class Phrases:
    subject: str
    dear: str
    contested: str
    in_words: str
    upheld: str
    reduced: str
    waived: str
    withdrawn: str
    reason: str
    photos: str
    pickup: str
    back: str
    sums: str
    before: str
    now: str
    difference: str
    refund: str
    to_pay: str
    nothing: str
    to_be_settled: str
    record: str
    otherwise: str
    regards: str
    draft: str
    approved: bool = False

    def texts(self) -> dict[str, str]:
        return {field.name: str(getattr(self, field.name)) for field in fields(self) if field.name != "approved"}


PHRASES = {
    "en": Phrases(
        subject="Dispute %(number)s: %(line)s",
        dear="Dear %(name)s,",
        contested="on %(day)s the line “%(line)s” of rental %(rental)s was contested.",
        in_words="In the words it was contested with:",
        upheld="We looked at everything again. The line stands: %(after)s.",
        reduced="We looked at everything again. The line is reduced from %(before)s to %(after)s.",
        waived="We looked at everything again. The line is waived: %(before)s is no longer asked for.",
        withdrawn="We looked at everything again. The line is withdrawn: %(before)s is no longer asked for.",
        reason="The reason:",
        photos="The same view at pickup and at return",
        pickup="Pickup, %(at)s",
        back="Return, %(at)s",
        sums="The statement",
        before="Version %(version)s, as it was",
        now="Version %(version)s, as it is now",
        difference="Difference",
        refund="%(amount)s goes back to you the way it was paid.",
        to_pay="%(amount)s is to pay.",
        nothing="Nothing is to pay, nothing goes back.",
        to_be_settled="The statement is still open at the counter and is settled there.",
        record="The record has the number %(number)s and the code %(code)s. Look it up at %(address)s.",
        otherwise="If you see it otherwise, answer this letter. Your rights under the law stay as they are.",
        regards="%(person)s, %(operator)s, %(branch)s",
        draft="",
        approved=True,
    ),
    "de": Phrases(
        subject="Streitfall %(number)s: %(line)s",
        dear="Guten Tag, %(name)s,",
        contested="am %(day)s wurde die Zeile „%(line)s“ der Miete %(rental)s bestritten.",
        in_words="Mit diesen Worten wurde sie bestritten:",
        upheld="Wir haben alles noch einmal geprüft. Die Zeile bleibt bestehen: %(after)s.",
        reduced="Wir haben alles noch einmal geprüft. Die Zeile wird von %(before)s auf %(after)s gesenkt.",
        waived="Wir haben alles noch einmal geprüft. Die Zeile wird erlassen: %(before)s wird nicht mehr verlangt.",
        withdrawn=(
            "Wir haben alles noch einmal geprüft. Die Zeile wird zurückgenommen: %(before)s wird nicht mehr verlangt."
        ),
        reason="Der Grund:",
        photos="Dieselbe Ansicht bei Übergabe und Rückgabe",
        pickup="Übergabe, %(at)s",
        back="Rückgabe, %(at)s",
        sums="Die Abrechnung",
        before="Fassung %(version)s, wie sie war",
        now="Fassung %(version)s, wie sie jetzt ist",
        difference="Unterschied",
        refund="%(amount)s geht auf dem Weg an Sie zurück, auf dem gezahlt wurde.",
        to_pay="%(amount)s ist zu zahlen.",
        nothing="Es ist nichts zu zahlen, und nichts geht zurück.",
        to_be_settled="Die Abrechnung ist an der Station noch offen und wird dort abgeschlossen.",
        record="Das Protokoll hat die Nummer %(number)s und den Code %(code)s. Sie finden es unter %(address)s.",
        otherwise="Sehen Sie es anders, antworten Sie auf diesen Brief. Ihre gesetzlichen Rechte bleiben bestehen.",
        regards="%(person)s, %(operator)s, %(branch)s",
        draft="Entwurf einer Übersetzung, noch nicht freigegeben; es gilt der englische Text darunter.",
    ),
    "fr": Phrases(
        subject="Contestation %(number)s : %(line)s",
        dear="Bonjour %(name)s,",
        contested="le %(day)s, la ligne « %(line)s » de la location %(rental)s a été contestée.",
        in_words="Elle a été contestée en ces termes :",
        upheld="Nous avons tout réexaminé. La ligne est maintenue : %(after)s.",
        reduced="Nous avons tout réexaminé. La ligne est ramenée de %(before)s à %(after)s.",
        waived="Nous avons tout réexaminé. Nous renonçons à la ligne : %(before)s n’est plus demandé.",
        withdrawn="Nous avons tout réexaminé. La ligne est retirée : %(before)s n’est plus demandé.",
        reason="La raison :",
        photos="La même vue au départ et au retour",
        pickup="Départ, %(at)s",
        back="Retour, %(at)s",
        sums="Le décompte",
        before="Version %(version)s, telle qu’elle était",
        now="Version %(version)s, telle qu’elle est maintenant",
        difference="Différence",
        refund="%(amount)s vous est remboursé par la voie du paiement.",
        to_pay="%(amount)s reste à payer.",
        nothing="Rien n’est à payer, rien n’est remboursé.",
        to_be_settled="Le décompte est encore ouvert au comptoir et y sera réglé.",
        record="Le procès-verbal porte le numéro %(number)s et le code %(code)s. Il se consulte à %(address)s.",
        otherwise="Si vous n’êtes pas de cet avis, répondez à cette lettre. Vos droits légaux restent entiers.",
        regards="%(person)s, %(operator)s, %(branch)s",
        draft="Projet de traduction, pas encore approuvé ; le texte anglais ci-dessous fait foi.",
    ),
    "es": Phrases(
        subject="Reclamación %(number)s: %(line)s",
        dear="Hola, %(name)s:",
        contested="El %(day)s se reclamó contra la línea «%(line)s» del alquiler %(rental)s.",
        in_words="Se reclamó con estas palabras:",
        upheld="Lo hemos revisado todo de nuevo. La línea se mantiene: %(after)s.",
        reduced="Lo hemos revisado todo de nuevo. La línea baja de %(before)s a %(after)s.",
        waived="Lo hemos revisado todo de nuevo. Renunciamos a la línea: ya no se piden %(before)s.",
        withdrawn="Lo hemos revisado todo de nuevo. La línea se retira: ya no se piden %(before)s.",
        reason="El motivo:",
        photos="La misma vista en la entrega y en la devolución",
        pickup="Entrega, %(at)s",
        back="Devolución, %(at)s",
        sums="La liquidación",
        before="Versión %(version)s, como era",
        now="Versión %(version)s, como es ahora",
        difference="Diferencia",
        refund="Se le devuelven %(amount)s por la misma vía del pago.",
        to_pay="Quedan por pagar %(amount)s.",
        nothing="No hay nada que pagar ni que devolver.",
        to_be_settled="La liquidación sigue abierta en la oficina y se cierra allí.",
        record="El acta tiene el número %(number)s y el código %(code)s. Se consulta en %(address)s.",
        otherwise="Si lo ve de otro modo, responda a esta carta. Sus derechos legales no cambian.",
        regards="%(person)s, %(operator)s, %(branch)s",
        draft="Borrador de traducción, aún sin aprobar; vale el texto inglés de abajo.",
    ),
    "nl": Phrases(
        subject="Bezwaar %(number)s: %(line)s",
        dear="Goedendag %(name)s,",
        contested="op %(day)s is bezwaar gemaakt tegen de regel “%(line)s” van huur %(rental)s.",
        in_words="Het bezwaar luidde:",
        upheld="We hebben alles opnieuw bekeken. De regel blijft staan: %(after)s.",
        reduced="We hebben alles opnieuw bekeken. De regel gaat van %(before)s naar %(after)s.",
        waived="We hebben alles opnieuw bekeken. De regel wordt kwijtgescholden: %(before)s wordt niet meer gevraagd.",
        withdrawn="We hebben alles opnieuw bekeken. De regel wordt ingetrokken: %(before)s wordt niet meer gevraagd.",
        reason="De reden:",
        photos="Hetzelfde beeld bij vertrek en bij terugkomst",
        pickup="Vertrek, %(at)s",
        back="Terugkomst, %(at)s",
        sums="De afrekening",
        before="Versie %(version)s, zoals die was",
        now="Versie %(version)s, zoals die nu is",
        difference="Verschil",
        refund="%(amount)s gaat naar u terug langs de weg waarlangs is betaald.",
        to_pay="%(amount)s moet nog worden betaald.",
        nothing="Er is niets te betalen en er gaat niets terug.",
        to_be_settled="De afrekening staat nog open aan de balie en wordt daar afgesloten.",
        record="Het verslag heeft nummer %(number)s en code %(code)s. U vindt het op %(address)s.",
        otherwise="Ziet u het anders, antwoord dan op deze brief. Uw wettelijke rechten blijven gelden.",
        regards="%(person)s, %(operator)s, %(branch)s",
        draft="Conceptvertaling, nog niet goedgekeurd; de Engelse tekst hieronder geldt.",
    ),
    "ar": Phrases(
        subject="الاعتراض %(number)s: %(line)s",
        dear="%(name)s، تحية طيبة،",
        contested="في %(day)s جرى الاعتراض على البند «%(line)s» من عقد التأجير %(rental)s.",
        in_words="نص الاعتراض:",
        upheld="راجعنا كل شيء من جديد. يبقى البند كما هو: %(after)s.",
        reduced="راجعنا كل شيء من جديد. خُفّض البند من %(before)s إلى %(after)s.",
        waived="راجعنا كل شيء من جديد. تنازلنا عن البند: لم يعد مبلغ %(before)s مطلوبًا.",
        withdrawn="راجعنا كل شيء من جديد. سُحب البند: لم يعد مبلغ %(before)s مطلوبًا.",
        reason="السبب:",
        photos="المشهد نفسه عند التسليم وعند الإعادة",
        pickup="التسليم، %(at)s",
        back="الإعادة، %(at)s",
        sums="كشف الحساب",
        before="النسخة %(version)s كما كانت",
        now="النسخة %(version)s كما هي الآن",
        difference="الفرق",
        refund="يُعاد إليك مبلغ %(amount)s بالطريقة التي دُفع بها.",
        to_pay="يبقى مبلغ %(amount)s للدفع.",
        nothing="لا شيء للدفع ولا شيء يُعاد.",
        to_be_settled="كشف الحساب ما زال مفتوحًا لدى المكتب ويُسوّى هناك.",
        record="رقم السجل %(number)s ورمزه %(code)s. يمكن الاطلاع عليه في %(address)s.",
        otherwise="إن كان رأيك مختلفًا فأجب عن هذه الرسالة. حقوقك القانونية تبقى كما هي.",
        regards="%(person)s، %(operator)s، %(branch)s",
        draft="مسودة ترجمة لم تُعتمد بعد؛ النص الإنجليزي أدناه هو المعتمد.",
    ),
}
