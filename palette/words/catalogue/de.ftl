# Die festen Wörter von Malanleitung, Dossier und Webseite. Jede Meldung von en.ftl steht auch hier.

list-or = { $most } oder { $last }
list-last = { $most } und { $last }
untitled = Bausatz ohne Titel
undecided = unentschieden
version = Fassung { $version }
percent = { $amount } %
under-one-percent = unter 1 %
millilitres = { $amount } ml
pots = { $count ->
    [one] 1 Töpfchen
   *[other] { $count } Töpfchen
}
mixture = Mischung { $letter }

## Ausgaben

stage-draft = Entwurf
stage-trial = Probe
stage-settled = Endgültig
stage-draft-words = Entwurf: Es kommen noch Belege dazu, Farben können sich ändern.
stage-trial-words = Probe: vollständig, wird an Modellen erprobt. Der Hersteller will hören, was dir auffällt.
stage-settled-words = Endgültig: Der Hersteller erwartet keine Änderungen mehr.
changes-since = Geändert seit Fassung { $version }:
changes-none = Seit Fassung { $version } hat sich keine Farbe geändert.
changes-gone = { $count ->
    [one] Kein Teil mehr: { $parts }.
   *[other] Keine Teile mehr: { $parts }.
}
change-difference = Abstand { $amount }
change-added = ein neues Teil
change-undecided = nur in einer der beiden entschieden
change-why-colour = : jetzt zeigt es ein Farbbild
change-why-grey = : jetzt aus Grau erschlossen
change-why-hint = : jetzt nur aus Worten bekannt
change-why-decision = : der Hersteller hat entschieden

## Titelseite

fact-scale = Maßstab
fact-edition = Ausgabe
fact-date = Datum
fact-maker = Hersteller
fact-licence = Lizenz
view-near = Von der vorderen Seite
view-far = Von der hinteren Seite
view-above = Von oben
view-below = Von unten
view-picture = Die Messstellen, umrandet
view-alt = { $title }, mit Nummern an den Teilen: { $parts }.
unseen = { $count ->
    [one] Kein Bild zeigt { $parts }.
   *[other] Kein Bild zeigt diese Teile: { $parts }.
}
guesses-none = { $total ->
    [one] Die eine Farbe ist nicht geraten.
   *[other] Keine der { $total } Farben ist geraten.
}
guesses = { $count ->
    [one] { $count } von { $total } Farben ist geraten: { $parts }. Niemand hat ihren Farbton gemessen. Auf der Karte steht GERATEN und was es sonst sein kann.
   *[other] { $count } von { $total } Farben sind geraten: { $parts }. Niemand hat ihren Farbton gemessen. Auf den Karten steht GERATEN und was es sonst sein kann.
}
caution-label = Zuerst das Etikett.
caution-label-words = Etiketten, Sicherheitsdatenblätter und die Regeln bei dir vor Ort gehen dieser Anleitung vor.
caution-spray = Spritzen
caution-spray-words = macht Nebel, den man atmet und der brennt: Absaugung oder im Freien, keine Flammen, Maske gegen Farbnebel und Dämpfe. Auch bei Farbe auf Wasserbasis.
caution-solvent = Lösemittel:
caution-solvent-words = Fenster auf, Handschuhe, Flaschen zu, kein Essen. Lappen flach im Freien trocknen; nichts in den Abfluss.
caution-sanding = Schleifen:
caution-sanding-words = nass, mit Staubmaske und Schutzbrille. Wischen, nicht fegen. Alte Farbe kann Blei enthalten.
caution-resin = Harz und Kleber:
caution-resin-words = Handschuhe und gute Luft. Drucke ganz aushärten, bevor du schleifst oder grundierst. Nicht in die Härtelampe sehen.
caution-heat = Arbeitslampen und Trockenkästen
caution-heat-words = werden heiß. Dämpfe, nasse Farbe und Stoff fernhalten, nicht allein laufen lassen.
caution-lamps = Lampen und Batterien:
caution-lamps-words = nur Kleinspannung, passender Widerstand, keine blanken Drähte. Knopfzellen von Kindern fernhalten. Arbeitslampen werden heiß: keine Dämpfe, kein Stoff in der Nähe.
caution-children = Kinder und Tiere:
caution-children-words = Farbe, Klingen und nasse Arbeit außer Reichweite.
licence = Diese Anleitung erscheint unter { $licence }.
no-licence = Der Hersteller nennt keine Lizenz. Frag ihn, bevor du diese Anleitung weitergibst.
made-with = Gemacht mit palette { $version }. Gesetzt in Libertinus Serif und Source Sans Pro (SIL Open Font License).
picture-credit = Bild: { $credit }.

## Einkauf

no-paints = Der Bausatz nennt keine Farbenliste, darum nennt diese Anleitung keine Farben. Die Farbwerte stehen im Dossier als Zahlen.
owned = vorhanden
to-buy = zu kaufen
other-range = Das andere Sortiment hat
medium-water = auf Wasserbasis
medium-enamel = Emailfarbe
medium-lacquer = Lack
medium-oil = Ölfarbe
media-differ = Diese Farben haben verschiedene Verdünner. Nicht in einen Becher: nimm die nächste einzelne Farbe.
medium-unknown = Die Liste sagt nicht, was jede dieser Farben verdünnt. Lies die Etiketten, bevor du sie in einen Becher gibst.
use-shade = Schatten von { $parts }
use-highlight = Licht von { $parts }
sundry-primer = Grundierung
sundry-undercoat = Vorlack
sundry-clear = Klarlack
sundry-thinner = Verdünner
sundry-tools = Werkzeug
sundry-safety = Für dich
undercoat-for = { $ground }, unter { $parts }
ground-white = weiß
ground-mid-grey = mittelgrau
ground-black = schwarz
sheen-gloss = glänzend
sheen-satin = seidenmatt
sheen-matt = matt
thinner-water = Wasser, oder der Verdünner vom Etikett, für die Farben auf Wasserbasis
thinner-enamel = Emailverdünner für die Emailfarben
thinner-lacquer = Lackverdünner für die Lacke
thinner-oil = Terpentinersatz, oder was das Etikett sagt, für die Ölfarben
thinner-unknown = die Liste sagt nicht, was ihre Farben verdünnt: lies die Etiketten
tools = ein flacher, ein runder, ein feiner Pinsel, ein alter zum Trockenmalen, Klebeband, Becher, eine Pipette, eine Probekarte
safety = Handschuhe, gute Luft, Schutzbrille; eine Maske beim Spritzen oder Schleifen

## Mischen

mixing-drop = Ein Tropfen gilt als 0,05 ml, zwanzig auf den Milliliter (üblich). Zähle alle Tropfen einer Mischung mit derselben Pipette.
mixing-how = Rühren, in das Feld tupfen, trocknen lassen und mit dem Feld daneben vergleichen. Nasse Farbe ist heller oder dunkler als trockene.
drops = { $count ->
    [one] 1 Tropfen
   *[other] { $count } Tropfen
}
mixture-amount = { $drops } Tropfen, { $amount } ml
mixture-guess = Geraten: Es gibt nichts zum Vergleichen. Ein Tropfen zu viel oder zu wenig verschiebt sie um { $drop }.
mixture-accuracy = { $off }. Ein Tropfen zu viel oder zu wenig verschiebt sie um { $drop }.
off = { $amount } daneben: { $seen }
off-mixture = voraussichtlich { $amount } daneben, auf { $error } genau: { $seen }
seen-not = sieht niemand
seen-hardly = kaum zu sehen
seen-side = nebeneinander zu sehen
seen-plainly = deutlich zu sehen
seen-another = eine andere Farbe

## Schritte

step-wash = Teile waschen
step-wash-words = Warmes Wasser, ein Tropfen Spülmittel. Abspülen, trocknen lassen. Ab hier Handschuhe.
step-card = Probekarte malen
step-card-words = Von jeder Farbe ein Feld auf der Grundierung. Nummeriere die Felder. Beurteile sie trocken, in dem Licht, in dem das Modell stehen wird.
step-mask = Abkleben, was keine Farbe bekommt
step-mask-words = Das vor dem Grundieren abdecken:
step-prime = Alles { $ground } grundieren
step-prime-words = Zwei dünne Schichten. Die letzte über Nacht trocknen lassen.
step-circle = Entscheide die Reihenfolge selbst
step-circle-words = „after“ läuft im Kreis bei { $parts }.
step-alt = Das Modell, hervorgehoben: { $parts }.
step-decals = Abziehbilder
step-decals-words = Glanzlack darunter, trocknen lassen. Abziehbilder aufbringen. Über Nacht trocknen lassen.
step-seal = Versiegeln: Klarlack { $sheen }
step-seal-words = Eine dünne Schicht auf diese Teile, wenn alles trocken ist. Über Nacht härten lassen.
step-seal-mask = Den Glanzgrad davor abkleben.
step-metallic = Metallteile lassen, wie sie sind
step-metallic-words = Klarlack nimmt ihnen den Glanz (üblich):
step-bare = Blanke Teile freilegen
step-bare-words = Abklebung lösen und polieren. Sie bekommen weder Farbe noch Klarlack:
step-clear = Klare Teile einsetzen
step-clear-words = Abklebung lösen. Mit einem Kleber befestigen, der nicht beschlägt. Kein Mattlack in der Nähe:
step-lit = Lampe einsetzen
step-lit-words = Ihr Licht ist { $colour }. Lampe und Batterie prüfen, bevor du das Modell schließt.
step-lit-unknown = Die Farbe ihres Lichts ist unentschieden. Lampe und Batterie prüfen, bevor du das Modell schließt.
fact-paint = Farbe
fact-coats = Schichten
fact-amount = Menge
fact-over = Auf
fact-dry = Trocknen
fact-mask = Abkleben
fact-seal = Versiegeln
leave-in-primer = Die Farbe ist unentschieden. Lass es grundiert.
no-paint-for = Keine Liste nennt eine Farbe dafür. Der Ton ist { $colour }.
coats = { $count ->
    [one] 1 dünne Schicht
   *[other] { $count } dünne Schichten
}
coats-about = { $count ->
    [one] etwa 1 dünne Schicht
   *[other] etwa { $count } dünne Schichten
}
coats-never = 6 dünne Schichten; der Grund scheint noch etwas durch ({ $left })
coats-unknown = dünne Schichten, bis es deckt
volume = { $drops ->
    [one] { $amount } ml, 1 Tropfen
   *[other] { $amount } ml, { $drops } Tropfen
}
over-primer = die Grundierung, { $ground }
over-undercoat = zuerst Vorlack, { $ground }
dry-water = 30 Minuten je Schicht; über Nacht vor Klebeband (Regel)
dry-enamel = über Nacht je Schicht; zwei Tage vor Klebeband (Regel)
dry-lacquer = 30 Minuten je Schicht; über Nacht vor Klebeband (Regel)
dry-oil = zwei Tage je Schicht; eine Woche vor Klebeband (Regel)
dry-unknown = grifftrocken; über Nacht vor Klebeband (Regel)
mask = { $parts }, wenn trocken
mask-nothing = noch nichts
seal-gloss = glänzend, am Schluss
seal-satin = seidenmatt, am Schluss
seal-matt = matt, am Schluss
seal-metallic = nicht: Klarlack nimmt Metall den Glanz
seal-clear = nicht
seal-bare = nicht
seal-lit = nicht
short-gloss = glänzend
short-satin = seidenmatt
short-matt = matt
short-metallic = Metall
short-clear = klar
short-bare = blank
short-lit = Lampe
shade = Schatten
highlight = Licht
how-wash = lasieren: 1 zu 5 verdünnen, in die Vertiefungen laufen lassen
how-layer-shade = schichten: dünn an unteren Kanten und unter Leisten
how-layer-highlight = schichten: dünn an oberen Kanten
how-edge = nur die Kanten, mit der Spitze eines feinen Pinsels
how-drybrush = trockenmalen: mit fast trockenem Pinsel über Erhabenes
guess-odds = GERATEN: im Mittel etwa { $off } daneben. War es eine dieser Farben, dann { $others }.
guess-alone = GERATEN: im Mittel etwa { $off } daneben.
guess-words = GERATEN, nur aus Worten: { $hints }. Es kann jede Farbe dieses Namens sein.
guess-plain = GERATEN: nur in Grau zu sehen. Es kann ein anderer Farbton gleicher Helligkeit sein.
doubt-disputed = STRITTIG: Die Quellen sind sich über diese Farbe nicht einig.
doubt-open = UNSICHER: Die Quellen lassen diese Farbe weit offen.

## Wörter

glossary-base = Grundfarbe
glossary-base-words = die Hauptfarbe eines Teils
glossary-drop = Tropfen
glossary-drop-words = 0,05 ml, aus einer senkrecht gehaltenen Pipette
glossary-drybrush = Trockenmalen
glossary-drybrush-words = den Pinsel fast trocken wischen, über Erhabenes streichen
glossary-guess = GERATEN
glossary-guess-words = niemand hat diese Farbe gemessen; die Wahl ist eine Schätzung
glossary-highlight = Licht
glossary-highlight-words = ein hellerer Ton, wo Licht hinfällt
glossary-layer = Schichten
glossary-layer-words = dünne Lagen, jede kleiner als die vorige
glossary-off = Daneben
glossary-off-words = der Abstand von der gewünschten Farbe (CIEDE2000): unter 1 sieht ihn niemand, über 4 fast jeder
glossary-primer = Grundierung
glossary-primer-words = die erste Schicht, für Halt und gleichmäßigen Grund
glossary-seal = Versiegeln
glossary-seal-words = der Klarlack am Schluss, im angegebenen Glanzgrad
glossary-wash = Lasur
glossary-wash-words = sehr dünne dunkle Farbe, die sich in Vertiefungen sammelt

## Dossier

fact-version = Fassung
fact-stage = Stand
fact-light = Beurteilt unter
fact-match = Als Treffer gilt bis
fact-parts = Teile
light-daylight = Tageslicht ({ $light })
light-tungsten = Glühlampen (A)
read-parts = Jedes Teil behält seine Nummer. Sein Feld zeigt die beste Schätzung seiner Farbe. Eine abgeschnittene Ecke heißt erschlossen: die Mitte dessen, was bleibt. Der Streifen darunter läuft durch die Farben, die die Belege offen lassen. Die Quadrate sagen, wie sicher die Farbe ist, von fünf (fest) bis eins (offen).
read-off = „Daneben“ ist der Abstand zwischen Farbe und Ziel (CIEDE2000): unter 1 sieht ihn niemand, über 4 fast jeder. Eine Farbe, die weniger daneben liegt, als das Ziel unsicher ist, ist so gut wie jede nähere. Das „±“ einer Mischung sagt, wie weit sie von der Vorhersage abweichen kann; die Worte rechnen es ein.
chosen-to-hand = So wurden die Farben gewählt: was vorhanden ist, wo es ein Treffer ist (bis { $tolerance }), und dazu die wenigsten Töpfchen für alle Teile zusammen; eine Farbe vor einer Mischung. Wo nichts trifft, was am nächsten kommen sollte, oder etwas Vorhandenes, das kaum schlechter aussieht.
chosen-nearest = So wurden die Farben gewählt: die wenigsten Töpfchen für alle Teile zusammen, mit denen jedes bis auf { $tolerance } trifft; eine Farbe vor einer Mischung.
chosen-odds = Eine erschlossene Farbe bekommt, was im Mittel am wenigsten daneben liegen sollte.
cover-all = Die Schichten in der Anleitung sind nach Kubelka und Munk vorhergesagt: so viele, bis der Grund um weniger als { $unseen } (CIEDE2000) durchscheint, bei der Deckkraft, die die Liste nennt. Mengen: die Ergiebigkeit der Liste, sonst { $rate } cm² je Milliliter und Schicht (üblich, aus dem Gedächtnis; das Etikett geht vor).
cover-some = Die Schichten in der Anleitung sind nach Kubelka und Munk vorhergesagt: so viele, bis der Grund um weniger als { $unseen } (CIEDE2000) durchscheint, bei der Deckkraft, die die Liste nennt. Wo sie keine nennt („etwa“), ist eine Schicht so dick wie eine von starkem Weiß, das { $assumed } deckt. Mengen: die Ergiebigkeit der Liste, sonst { $rate } cm² je Milliliter und Schicht (üblich, aus dem Gedächtnis; das Etikett geht vor).
cover-none = Die Schichten in der Anleitung sind nach Kubelka und Munk vorhergesagt: so viele, bis der Grund um weniger als { $unseen } (CIEDE2000) durchscheint. Die Liste nennt keine Deckkraft („etwa“): eine Schicht gilt als so dick wie eine von starkem Weiß, das { $assumed } deckt. Mengen: { $rate } cm² je Milliliter und Schicht (üblich, aus dem Gedächtnis; das Etikett geht vor).
tone-words = Schatten und Lichter, üblich, ohne Quelle: { $roles }; weniger, wo Schwarz oder Weiß nahe ist. Kleine Modelle brauchen weniger.
tone-shade = der Schatten ist { $step } L* dunkler, etwas bunter und kühler im Ton
tone-highlight = das Licht ist { $step } L* heller, etwas weniger bunt und wärmer
judging-printer = Ein Drucker ist kein Farbmessgerät, ein Bildschirm auch nicht. Die Felder hier unterscheiden die Teile; sie legen keine Farbe fest. Das tun die Zahlen: L*, a* und b* sind CIELAB unter Tageslicht (D65, 2-Grad-Beobachter).
judging-dry = Beurteile Farbe trocken, auf deiner Grundierung, in dem Licht, in dem das Modell stehen wird, vor neutralem Grau oder Weiß.
judging-card = Male eine Probekarte mit jeder Farbe, schreib die Nummer des Teils darauf und behalte sie. Sieh Nachbarn zusammen an: wie Farben zueinander stehen, zeigt mehr als jede allein.
judging-outside = Ein Feld mit † liegt außerhalb dessen, was ein gewöhnlicher Bildschirm zeigt. Gedruckt ist die nächste Farbe, matter als sie sein sollte.
seen-not-words = Niemand sieht es, auch nicht nebeneinander.
seen-hardly-words = Ein geübtes Auge sieht es, nebeneinander, bei gutem Licht.
seen-side-words = Die meisten sehen es nebeneinander, wenige aus dem Gedächtnis.
seen-plainly-words = Auf einen Blick zu sehen; noch dieselbe Art Farbe.
seen-another-words = Es wirkt wie eine andere Farbe.
below = unter { $high }
span = { $low } bis { $high }
and-more = { $low } und mehr
within = bis { $radius }
beyond = über { $low }
sure-firm = fest
sure-good = gut
sure-fair = mäßig
sure-loose = lose
sure-open = offen
sure-decided = entschieden
sure-unknown = unbekannt
basis-colour = Farbbilder
basis-grey = aus Grau erschlossen
basis-hint = nur Worte
basis-decision = Entscheidung des Herstellers
basis-none = noch keine Belege
basis-part = ein anderes Teil
rules-out = schließt Farben aus
choice-not-yet = Noch nicht
choice-undecided = die Farbe ist unentschieden
choice-no-paint = keine Farbe in den Listen
choice-mixture = Eine Mischung
choice-not-sold = nicht mehr im Handel
choice-guess = geraten, im Mittel { $off } daneben
range-within = { $count } von { $total } Teilen ein Treffer
range-none = kein Teil gemessen
range-odds = Für ein erschlossenes Teil steht dort die Farbe, die am wenigsten daneben liegen sollte, mit dem Mittel.
decided = Vom Hersteller entschieden.
decided-why = Vom Hersteller entschieden: { $why }
decided-divided = Die Belege sind geteilt; siehe unten.
disagree = Die Quellen weichen stärker voneinander ab, als ihre Unsicherheit erlaubt. Die gedruckte Farbe wird allen zusammen am besten gerecht. Sieh sie als offen an, bis eine davon erklärt ist.
inferred-grey = Nur in Grau zu sehen. Ein Grauwert schließt Farben aus, nennt aber keine: das Feld ist die Mitte dessen, was bleibt, keine Messung.
inferred-remembered = Erinnert als { $said }.
inferred-words = Nur aus Worten bekannt: { $said }. Niemand hat es gemessen.
inferred-words-none = Nur aus Worten bekannt. Niemand hat es gemessen.
lightness = L* { $low } bis { $high }, neun von zehn Mal
slice-words = Farben, die bleiben, mit a* von { $left } bis { $right } nach rechts und b* von { $low } bis { $high } nach oben; ein größeres Quadrat ist wahrscheinlicher.
picture-unopened = es ließ sich nicht öffnen
picture-not-printed = der Hersteller druckt es nicht ab
picture-no-licence = keine Lizenz erlaubt das
picture-alt = { $id }, { $described }, mit umrandeten Messstellen: { $parts }.
picture-photograph-colour = Farbfoto
picture-photograph-grey = Schwarzweißfoto
picture-frame-colour = farbiges Filmbild
picture-frame-grey = schwarzweißes Filmbild
picture-print-colour = Farbdruck
picture-print-grey = Schwarzweißdruck
picture-artwork-colour = farbige Zeichnung
picture-artwork-grey = schwarzweiße Zeichnung
picture-object-colour = Gegenstand, in Farbe
picture-object-grey = Gegenstand, schwarzweiß
none = keine
kit-whole = Der Bausatz als Ganzes
parts-listed = { $count ->
    [one] Teil { $parts }
   *[other] Teile { $parts }
}
anchor-known = bekannte Farbe

## Beschriftungen der Vorlagen

label-off-by = Daneben
label-how-sure = Wie sicher
label-how-to-read = So liest man dieses Dossier
label-scheme = Das Farbschema
label-inferred = Erschlossen
label-disputed = Strittig
label-decided = Entschieden
label-no-colour = noch keine Farbe
label-outside = Außerhalb dessen, was Bildschirm oder Drucker zeigen; gedruckt ist die nächste Farbe.
label-ranges = Nächste Farbe je Sortiment
label-ranges-best = Ein gefüllter Punkt steht beim nächsten aller Sortimente.
label-judging = Ein gedrucktes Feld beurteilen
label-words-mean = Was die Worte heißen
label-words-mean-lead = Üblich, ohne Quelle: Wo diese Grenzen liegen, hängt von Auge, Licht und Größe der Fläche ab.
label-words = Worte
label-meaning = Bedeutung
label-word = Wort
label-true-colour = Wahre Farbe
label-inferred-title = Erschlossene, nicht gemessene Farben
label-inferred-lead = Kein Bild zeigt diese Teile in Farbe. Das Feld ist die Mitte dessen, was bleibt. Die Anteile sagen, wie wahrscheinlich jede Farbe ist, wenn es eine davon war. Das Schema nennt, was im Mittel am wenigsten daneben liegen sollte.
label-middle = Mitte:
label-lightness = Helligkeit:
label-other-paints = alle anderen Farben
label-likelier = Größer heißt wahrscheinlicher.
label-verdicts = Entscheidungen und Streitfälle
label-alone = Jede Quelle für sich
label-references = Vorlagen
label-references-lead = Was jedes Bild für sich sagt, bevor alle gewogen werden. „Bis“ ist der CIEDE2000-Radius, in dem die wahre Farbe neun von zehn Mal liegt; „Gewicht“, was es zählte. Schwarzweißbilder eines Teils antworten gemeinsam. Gestrichelt umrandet sind Flächen bekannter Farbe.
label-no-references = Dieser Bausatz hat keine Bilder.
label-within = Bis
label-weight = Gewicht
label-known = Mit bekannter Farbe:
label-no-picture = Kein Bild hier:
label-notes = Wie die Farben gefunden wurden
label-credits = Lizenz und Nachweise
label-pictures-own = Die Lizenz gilt für die Anleitung. Bilder behalten die Bedingungen derer, die sie gemacht haben.
label-coats-title = Schichten, Schatten und Lichter
label-swatch = Feld
label-guide = Malanleitung
label-dossier = Dossier
label-and = und
label-contents = Inhalt
label-cover = Das Modell
label-colours = Seine Farben
label-cautions = Bevor du anfängst
label-changes = Seit der letzten Ausgabe
label-page = Im Netz:
label-qr = QR-Code der Webausgabe
label-tray = Einkauf
label-tray-lead = Leg das bereit. Hake ab, was du hast. Die Mengen zählen die Schichten und ein Fünftel Reserve; Schatten oder Licht braucht etwa ein Siebtel der Grundfarbe (üblich).
label-have = Da
label-code = Nummer
label-paint = Farbe
label-need = Menge
label-for = Für
label-colour = Ton
label-sundries = Und
label-mixing = Mischen
label-letter = Mischung
label-wanted = Ziel
label-made = gemischt
label-cup = Ein Teil
label-whole = Im Ganzen
label-wet = Tupfer nass
label-dry = trocken
label-steps = Schritte
label-steps-lead = Eine Karte je Schritt, von der ersten bis zur letzten. Hake sie ab. Schatten und Licht, wenn die Grundfarbe trocken ist, vor der nächsten Karte. Trockenzeiten mit (Regel) sind üblich; das Etikett geht vor.
label-step = Schritt
label-guess = GERATEN
label-no-tone = keine Farbe kommt nahe: weglassen
label-bench = Werkbankkarte
label-bench-lead = Zum Anpinnen. Eine Zeile je Teil.
label-number = Nr.
label-part = Teil
label-brush = Auf den Pinsel
label-seal = Lack
label-glossary = Zehn Wörter
label-cover-link = zum Modell
label-page-of = von
label-print-check = Mit 100 % drucken. Diese Linie ist 50 mm lang.
label-missing = Für diese Zeichen hat der Rechner des Herstellers keine Schrift; gedruckt sind sie als □:
label-done = fertig
label-progress = Schritte fertig
label-own-paints = Deine eigenen Farben
label-own-lead = Wähle eine Farbenliste oder zieh sie hierher (CSV: id, name und hex oder lab_l, lab_a, lab_b). Jede Farbe wird hier neu gesucht. Die Liste verlässt diese Seite nicht.
label-own-choose = Liste wählen
label-own-reset = Zurück zu den Farben des Herstellers
label-own-done = Gesucht in
label-own-paints-count = Farben
label-own-skipped = Zeilen übergangen
label-own-none = In dieser Liste steht keine Farbe. Sie braucht die Spalten id, name und hex oder lab_l, lab_a, lab_b.
label-own-nearest = Aus deiner Liste
label-own-off = daneben
label-clear-ticks = Alle Haken löschen
label-next = Weiter
label-previous = Zurück
label-old = vorher
label-new = jetzt
label-licence = Lizenz

## Farbnamen: Ton und Zusatz (ISCC-NBS)

modifier-vivid = leuchtendes
modifier-brilliant = strahlendes
modifier-strong = kräftiges
modifier-deep = tiefes
modifier-very-deep = sehr tiefes
modifier-very-light = sehr helles
modifier-light = helles
modifier-moderate = mittleres
modifier-medium = mittleres
modifier-dark = dunkles
modifier-very-dark = sehr dunkles
modifier-very-pale = sehr blasses
modifier-pale = blasses
modifier-light-greyish = helles gräuliches
modifier-greyish = gräuliches
modifier-dark-greyish = dunkles gräuliches
modifier-blackish = schwärzliches
hue-purple = Purpur
hue-green = Grün
hue-blue = Blau
hue-red = Rot
hue-purplish-blue = Purpurblau
hue-violet = Violett
hue-yellow = Gelb
hue-yellowish-green = Gelbgrün
hue-reddish-purple = Rotpurpur
hue-bluish-green = Blaugrün
hue-greenish-blue = Grünblau
hue-greenish-yellow = Grüngelb
hue-purplish-red = Purpurrot
hue-orange-yellow = Orangegelb
hue-purplish-pink = Purpurrosa
hue-yellow-green = Gelb-Grün
hue-brown = Braun
hue-reddish-brown = Rotbraun
hue-yellowish-brown = Gelbbraun
hue-pink = Rosa
hue-yellowish-pink = Gelbrosa
hue-orange = Orange
hue-olive = Oliv
hue-olive-green = Olivgrün
hue-reddish-orange = Rotorange
hue-bluish-grey = Blaugrau
hue-greenish-grey = Grüngrau
hue-grey = Grau
hue-olive-brown = Olivbraun
hue-purplish-grey = Purpurgrau
hue-brownish-grey = Braungrau
hue-reddish-grey = Rotgrau
hue-olive-grey = Olivgrau
hue-black = Schwarz
hue-bluish-black = Blauschwarz
hue-bluish-white = Blauweiß
hue-brownish-black = Braunschwarz
hue-brownish-orange = Braunorange
hue-brownish-pink = Braunrosa
hue-greenish-black = Grünschwarz
hue-greenish-white = Grünweiß
hue-olive-black = Olivschwarz
hue-pinkish-grey = Rosagrau
hue-pinkish-white = Rosaweiß
hue-purplish-black = Purpurschwarz
hue-purplish-white = Purpurweiß
hue-reddish-black = Rotschwarz
hue-white = Weiß
hue-yellowish-grey = Gelbgrau
hue-yellowish-white = Gelbweiß
