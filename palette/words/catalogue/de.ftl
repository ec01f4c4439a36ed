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
view-bare = Wo die Teile auf einem Bild liegen. Das Bild selbst fehlt: Seine Lizenz oder sein Besitzer erlaubt keine Kopie.
view-alt = { $title }, mit Nummern an den Teilen: { $parts }.
unseen = { $count ->
    [one] Kein Bild zeigt { $parts }.
   *[other] Kein Bild zeigt diese Teile: { $parts }.
}
unseen-here = Nicht auf diesem Bild: { $parts }.
guesses-open = { $count ->
    [one] { $count } von { $total } Farben ist noch nicht entschieden: { $parts }. Du hast die Wahl.
   *[other] { $count } von { $total } Farben sind noch nicht entschieden: { $parts }. Du hast die Wahl.
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
enough = { $count ->
    [one] Einmal das reicht
   *[other] Du brauchst das { $count }-mal
}
off = { $amount } neben der gewünschten Farbe: { $seen }
off-mixture = { $amount } neben der gewünschten Farbe (vorausgesagt, auf { $error } genau): { $seen }
seen-not = sieht niemand
seen-hardly = kaum zu sehen
seen-side = nebeneinander zu sehen
seen-plainly = deutlich zu sehen
seen-another = eine andere Farbe

## Schritte

step-wash = Teile waschen
step-wash-words = Warmes Wasser, ein Tropfen Spülmittel. Abspülen, trocknen lassen. Ab hier Handschuhe.
step-card = Probekarte malen
step-card-words = Grundiere eine Karte. Male von jeder Farbe ein Feld darauf und nummeriere es. Beurteile sie trocken, in dem Licht, in dem das Modell stehen wird.
step-mask = Abkleben, was keine Farbe bekommt
step-mask-words = Das vor dem Grundieren abdecken, oder erst am Schluss einsetzen:
step-prime = Alles { $ground } grundieren
step-prime-words = Zwei dünne Schichten. Die letzte über Nacht trocknen lassen.
step-circle = Entscheide die Reihenfolge selbst
step-circle-words = „after“ läuft im Kreis bei { $parts }.
step-alt = Das Modell, hervorgehoben: { $parts }.
step-decals = Abziehbilder, wo der Bausatz welche hat
step-decals-words = Glanzlack darunter, trocknen lassen. Abziehbilder aufbringen. Über Nacht trocknen lassen.
step-seal = Versiegeln: Klarlack { $sheen }
step-seal-words = Eine dünne Schicht auf diese Teile, wenn alles trocken ist. Über Nacht härten lassen.
step-seal-mask = Zuerst abkleben, was schon versiegelt ist.
step-metallic = Metallteile lassen, wie sie sind
step-metallic-words = Klarlack nimmt ihnen den Glanz (üblich):
step-bare = Blanke Teile freilegen
step-bare-words = Abklebung lösen und polieren. Sie bekommen weder Farbe noch Klarlack:
step-clear = Klare Teile einsetzen
step-clear-words = Abklebung lösen. Mit einem Kleber befestigen, der nicht beschlägt. Kein Mattlack in der Nähe:
step-lit = Lampe einsetzen
step-lit-words = Abklebung lösen. Ihr Licht ist { $colour }. Lampe und Batterie prüfen, bevor du das Modell schließt.
step-lit-unknown = Abklebung lösen. Die Farbe ihres Lichts ist unentschieden. Lampe und Batterie prüfen, bevor du das Modell schließt.
fact-paint = Farbe
fact-coats = Schichten
fact-over = Auf
fact-dry = Trocknen
fact-mask = Abkleben
fact-seal = Versiegeln
no-tone = { $colour }: keine Farbe kommt nahe, also weglassen
no-shade = dunkler wird keine Farbe, also weglassen
no-highlight = heller wird keine Farbe, also weglassen
leave-in-primer = Keine Farbe ist entschieden. Lass es grundiert.
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
seal-metallic = kein Klarlack, denn er nimmt Metall den Glanz
seal-clear = nicht
seal-bare = nicht
seal-lit = nicht
bare-bare = ohne Farbe, blank
bare-clear = ohne Farbe, klar
bare-lit = ohne Farbe, eine Lampe
shown-bare = { $colour }, blank
shown-clear = { $colour }, klar
shown-lit = { $colour }, eine Lampe
short-gloss = glänzend
short-satin = seidenmatt
short-matt = matt
short-metallic = Metall
short-clear = klar
short-bare = blank
short-lit = Lampe
shade = Schatten
highlight = Licht
how-wash = Lasieren: 1 Teil Farbe auf 5 Teile Verdünner, in die Vertiefungen laufen lassen
how-layer-shade = Schichten: dünn an unteren Kanten und unter Leisten
how-layer-highlight = Schichten: dünn an oberen Kanten
how-edge = Nur die Kanten, mit der Spitze eines feinen Pinsels
how-drybrush = Trockenmalen: mit fast trockenem Pinsel über Erhabenes
guess-odds = GERATEN: Den Farbton kennt niemand. Diese Farbe liegt im Mittel am wenigsten daneben, etwa { $off }. War es eine Farbe der Liste, dann am ehesten { $others }.
guess-alone = GERATEN: nur in Grau zu sehen. Im Mittel etwa { $off } daneben. Keine Farbe ist viel wahrscheinlicher als eine andere.
guess-words = GERATEN, nur aus Worten: { $hints }. Es kann jede Farbe dieses Namens sein.
guess-grey-words = GERATEN: nur in Grau zu sehen, in Erinnerung als { $hints }. Es kann ein anderer Farbton gleicher Helligkeit sein.
guess-plain = GERATEN: nur in Grau zu sehen. Es kann ein anderer Farbton gleicher Helligkeit sein.
doubt-disputed = STRITTIG: Die Quellen sind sich über diese Farbe nicht einig.
doubt-disputed-or = STRITTIG: Die Quellen sind sich nicht einig. Die Farbe kann auch nahe bei { $others } gelegen haben.
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
fact-light = Beurteilt
fact-match = Als Treffer gilt bis
fact-parts = Teile
read-parts = Jedes Teil behält seine Nummer. Sein Feld zeigt die beste Schätzung seiner Farbe. Eine abgeschnittene Ecke heißt erschlossen: die Mitte dessen, was bleibt. Der Streifen darunter läuft durch die Farben, die die Belege offen lassen. Die Quadrate sagen, wie sicher die Farbe ist, von fünf (fest) bis eins (offen).
read-off = „Daneben“ ist der Abstand zwischen Farbe und Ziel (CIEDE2000): unter 1 sieht ihn niemand, über 4 fast jeder. Eine Farbe, die weniger daneben liegt, als das Ziel unsicher ist, ist so gut wie jede nähere. Das „±“ einer Mischung sagt, wie weit sie von der Vorhersage abweichen kann; die Worte rechnen es ein.
chosen-to-hand = So wurden die Farben gewählt: was vorhanden ist, wo es ein Treffer ist (bis { $tolerance }), und dazu die wenigsten Töpfchen für alle Teile zusammen; eine Farbe vor einer Mischung. Wo nichts trifft, was am nächsten kommen sollte, oder etwas Vorhandenes, das kaum schlechter aussieht.
chosen-bench = So wurden die Farben gewählt: was zum Arbeitstisch des Herstellers passt, wo es ein Treffer ist (bis { $tolerance }), und dazu die wenigsten Töpfchen für alle Teile zusammen; eine Farbe vor einer Mischung. Eine andere Farbe kann näher liegen: sie steht unter „Nächste Farbe je Sortiment“.
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
crop-alt = { $part } im Bild { $id }, neben der Farbe des Schemas
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
label-pictured = Was die Bilder zeigen
label-pictured-lead = Links: das Teil in jedem Bild, so berichtigt, wie es gezählt wurde; der Umriss ist, was gemessen wurde. Rechts, daran anstoßend: die Farbe des Schemas. Schwarzweißbilder sind, wie sie sind. Bilder, die nicht gedruckt werden dürfen, fehlen.
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
label-tray-lead = Leg das bereit. Hake ab, was du hast. Die Mengen zählen die Schichten und ein Fünftel Reserve; Schatten oder Licht braucht etwa ein Siebtel der Grundfarbe (üblich). „Daneben“ ist der Abstand zur gewünschten Farbe: unter 1 sieht ihn niemand, über 4 fast jeder.
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
label-cup = Rezept
label-whole = Im Ganzen
label-wet = Tupfer nass
label-dry = trocken
label-steps = Schritte
label-steps-lead = Eine Karte je Schritt, von der ersten bis zur letzten. Hake sie ab. Schatten und Licht, wenn die Grundfarbe trocken ist, vor der nächsten Karte. Trockenzeiten mit (Regel) sind üblich; das Etikett geht vor.
label-step = Schritt
label-guess = GERATEN
label-bench = Werkbankkarte
label-bench-lead = Zum Anpinnen. Eine Zeile je Teil.
label-number = Nr.
label-part = Teil
label-chosen = Auf den Pinsel
label-seal = Lack
label-glossary = Zehn Wörter
label-cover-link = zum Modell
label-page-of = von
label-print-check = Mit 100 % drucken. Diese Linie ist 50 mm lang.
label-missing = Für diese Zeichen hat der Rechner des Herstellers keine Schrift; gedruckt sind sie als □:
label-done = fertig
label-progress = Schritte fertig
label-own-paints = Deine eigenen Farben
label-own-lead = Wähle eine Farbenliste oder zieh sie hierher (CSV: id, name und hex oder lab_l, lab_a, lab_b). Jede Farbe wird hier neu gesucht, ohne Mischungen; der Einkauf bleibt der des Herstellers. Die Liste verlässt diese Seite nicht.
label-own-choose = Liste wählen
label-own-reset = Zurück zu den Farben des Herstellers
label-own-done = Gesucht in
label-own-paints-count = Farben
label-own-skipped = Nicht gelesen
label-own-lines = Zeile
label-own-why-retired = nicht mehr im Handel
label-own-why-id = keine id
label-own-why-light = eine Lichtart, die diese Seite nicht kennt
label-own-why-colour = keine Farbe
label-own-export = Das ist der Export eines Messgeräts. Erst als CSV speichern, oder palette guide --swatches nehmen.
label-own-encoding = Diese Datei ist nicht UTF-8. Speichere sie als CSV UTF-8 und wähle sie noch einmal.
label-own-lacks = Es fehlt
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

## Notizen: was ein Schritt bemerkt hat. Kein Punkt am Ende: sie können hinter einer Überschrift stehen

once-in = einmal in { $times } Fällen
once-in-more = seltener als einmal in einer Million Fällen
channel-red = Rot
channel-green = Grün
channel-blue = Blau
channel-cyan = Cyan
channel-magenta = Magenta
channel-yellow = Gelb
note-anchor = Anker { $which }
note-the-anchors = die Anker
note-sample-of = die Probe von { $part }
note-of-mark = { $mark }: { $text }
note-of-reference = Vorlage { $reference }: { $text }
note-of-sample = { $source }: seine Probe: { $text }
note-clipped = { $share } dieser Probe sind in { $channel } überbelichtet
note-clipped-black = { $share } dieser Probe sind in { $channel } zugelaufen (schwarz)
note-several-colours = enthält mehr als eine Farbe: { $share } sind anders als der Rest; nur eine Fläche anzeichnen
note-light-edge = hat eine Kante im Licht: { $share } davon, im Schatten oder eine andere Fläche, sind um den Faktor { $factor } dunkler; es zählt die hellere Seite
note-gloss = Glanz lag über allem ({ $share } des Lichts); abgezogen
note-shaded = von einem Ende zum anderen um den Faktor { $factor } schattiert; es zählt der beleuchtete Teil
note-left-out-rim = eine Kante oder ein Glanzlicht, das hineinläuft ({ $share } dieser Probe), ausgelassen
note-left-out-highlight = ein Glanzlicht ({ $share } dieser Probe) ausgelassen
note-left-out-dark = dunkle Flecken ({ $share } dieser Probe) ausgelassen
note-left-out-other = Flecken anderer Farbe ({ $share } dieser Probe) ausgelassen
note-screen = das Druckraster ({ $period } Pixel von Punkt zu Punkt) wurde herausgemittelt
note-jpeg-blocks = in dieser Probe sind JPEG-Blöcke zu sehen
note-few-pixels = { $count ->
    [one] nur 1 Pixel; eine größere Fläche anzeichnen
   *[other] nur { $count } Pixel; eine größere Fläche anzeichnen
}
note-colourless = das Bild enthält keine Farbe und sagt nichts über den Buntton; ist es schwarzweiß, dann tone = "grey" angeben
note-toned = das Bild sieht nach einem getonten Schwarzweißbild aus: es hat zu jeder Helligkeit eine Farbe und sagt nichts über den Buntton. Ist es eines, dann tone = "grey" angeben; wenn nicht, etwas von anderer Farbe darin als Anker anzeichnen
note-over-the-edge = { $mark } ragt über den Bildrand; nur was innen liegt, zählt
note-as-shot = kein Anker; Farben wie aufgenommen, jedes wahrscheinliche Licht zugelassen
note-by-light-stated = kein Anker; für das angegebene Licht ({ $light }) berichtigt
note-by-light-estimated = kein Anker; für das aus der Szene geschätzte Licht berichtigt
note-by-light-both = kein Anker; für das angegebene ({ $light }) und das aus der Szene geschätzte Licht berichtigt
note-no-agreement = { $count } Anker, die einander widersprechen: kaum mehr als wie aufgenommen
note-by-neutral = an einen neutralen Anker unbekannter Helligkeit angepasst: berichtigt das Licht, nicht die Belichtung
note-by-neutrals = an { $count } neutrale Anker unbekannter Helligkeit angepasst: berichtigt das Licht, nicht die Belichtung
note-by-anchor = an einen Anker angepasst
note-by-anchors = an { $count } Anker angepasst
note-by-anchors-both-grey = an { $count } Anker angepasst, beide grau
note-by-anchors-all-grey = an { $count } Anker angepasst, alle grau
note-by-anchors-some-grey = an { $count } Anker angepasst, davon { $grey } grau
note-one-colour = { $text }, von einer Farbe, sodass sie einander nicht prüfen
note-leaving-one-out = { $text }; lässt man einen weg, liegt seine Farbe nach den übrigen etwa { $off } daneben
note-light-estimates = { $count } Arten, das Licht aus dem Bild zu schätzen, liegen bis zu { $most }° von ihrer Mitte ({ $each })
note-light-estimates-loose = { $count } Arten, das Licht aus dem Bild zu schätzen, liegen bis zu { $most }° von ihrer Mitte, also ist das Licht unsicher ({ $each })
note-reversed = die helleren Anker sind dunkler im Bild: vertauscht, oder steht die Tafel auf dem Kopf? Alle zählen wenig
note-chart-turned = die Anker können nicht alle stimmen, wohl aber auf einer Tafel, die auf dem Kopf steht: ist sie gedreht? Alle zählen wenig
note-one-spot = { $anchors } liegen auf einer Stelle und haben verschiedene Farben: keiner zählt viel
note-cannot-both = { $who } können nicht alle stimmen, und nichts sagt, welcher falsch ist: beide zählen wenig
note-cannot-all = { $who } können nicht alle stimmen, und nichts sagt, welcher falsch ist: alle zählen wenig
note-swapped = { $text }; sind Marken vertauscht, oder ist eine Tafel gedreht?
note-anchors-left-out = { $count ->
    [one] { $anchors } widerspricht den übrigen Ankern: ausgelassen
   *[other] { $anchors } widersprechen den übrigen Ankern: ausgelassen
}
note-anchor-astray = { $anchor } liegt { $off } von dem, was die übrigen Anker sagen, und zählt kaum: stimmt seine Farbe?
note-in-channel = { $share } in { $channel }
note-anchor-clipped = { $anchor } ist beschnitten, { $lost }, und zählt weniger
note-lightness-scene = kein Anker legt die Helligkeit fest: aus den hellsten Stellen des Bildes geschätzt
note-lightness-usual = kein Anker legt die Helligkeit fest: so weit, wie Belichtungen üblicherweise schwanken
note-unanchored = kein Anker zeigt das: geschätzt danach, wie weit jede Farbe der Szene reicht
note-light-grows-across = das Licht nimmt von links nach rechts um { $share } zu; ausgeglichen
note-light-falls-across = das Licht nimmt von links nach rechts um { $share } ab; ausgeglichen
note-light-grows-down = das Licht nimmt von oben nach unten um { $share } zu; ausgeglichen
note-light-falls-down = das Licht nimmt von oben nach unten um { $share } ab; ausgeglichen
note-light-corners = das Licht fällt von der Mitte zu den Ecken um { $share } ab; ausgeglichen
note-stray-light = Streulicht von { $share } des Weiß lag über dem Bild; abgezogen
note-sensor-channels = die Farben stehen in den Kanälen eines Sensors, ohne die Matrix einer Kamera; zurückgerechnet
note-wide-numbers = die Farben sind matt wie dort, wo das Profil eines großen Farbraums verloren ging; zurückgerechnet
note-layer-keeps = die Schicht { $layer } behält { $kept }
note-dyes-faded = die Farbstoffe sind verblichen: { $layers } ihrer Dichte; Schicht für Schicht wiederhergestellt
note-layer-lost = die Schicht { $layer } hat zu viel verloren, um sie wiederherzustellen: ihr Rauschen wächst auf das { $noise }-Fache, also sind Farben unsicher
note-uneven-card = das Licht fällt über die Karte { $ratio } zu 1 ab; gleichmäßiger beleuchten
note-by-paper = keine Graukarte oder Tafel: nach dem Papier berichtigt, als übliches weißes genommen (L* 94 ± 2, bläulich)
note-grey-card-unstated = die Helligkeit der Graukarte ist nicht angegeben (--grey): das Papier, L* 94 ± 2, legt die Belichtung fest
note-no-trust = nicht gezählt: das Vertrauen ist 0
note-copy = eine Kopie des Bildes { $reference }, das für beide zählt
note-copy-apart = { $text }; sie liegen { $apart } auseinander: ist das Teil an derselben Stelle angezeichnet?
note-livery-before = zeigt den Anstrich vor der Neulackierung { $year }
note-livery-after = zeigt den Anstrich nach der Neulackierung { $year }
note-not-believed = nicht geglaubt: liegt { $off } von dem, was das Übrige stützt
note-in-doubt = zweifelhaft: die übrigen kämen ohne aus, und es stimmt mit { $right }
note-in-doubt-off = zweifelhaft: liegt { $off } von der angegebenen Farbe und stimmt mit { $right }
note-grey-not-believed = nicht geglaubt: stimmt neben dem Übrigen mit { $right }
note-vague = wenig gewichtet: zu unsicher
note-counted-with-grey = mit dem Grau gezählt
note-with-words = die Worte sind darin mitgezählt
note-one-answer = eine gemeinsame Antwort von { $references }
note-words-taken = „{ $words }“ verstanden als { $meaning }
note-same-paint = dieselbe Farbe wie { $parts }; die Belege gelten für alle
note-disagrees = die Belege widersprechen sich: wären alle richtig, streuten sie so sehr { $odds }
note-picture-in-doubt = das Bild widerspricht anderen bei { $parts } und stimmt dort mit { $right }: so auch diese Farbe, die daran hängt; sind seine Anker so, wie sie angegeben sind?
note-sample-apart = seine Probe { $number } liegt { $off } von den anderen des Teils in diesem Bild und kann nicht dieselbe Farbe sein: liegt sie auf dem Teil?
note-words-contradicted = was { $source } sagt, liegt { $off } von allem, was Bilder zeigen
note-not-lighter = das Teil { $part } soll heller sein als { $lighter }; die Bilder zeigen es dunkler, um { $darker } in der Helligkeit
note-decided-same-paint = für ein Teil derselben Farbe entschieden
note-decided = Entscheidung des Herstellers: { $why }
note-decision-off = die Entscheidung liegt { $off } von dem, was die Belege stützen; diese sind auf { $radius } sicher
note-not-compared = das Teil { $part } soll heller sein als { $lighter }, was nur zählt, wo Graubilder gelesen werden: beide Teile in einem anzeichnen
note-decided-apart = die Teile { $first } und { $part } sollen dieselbe Farbe haben, und ihre Farben sind { $off } auseinander entschieden: jedes behält seine; same_as oder eine Farbe streichen
note-livery-guessed = das Vorbild wurde neu lackiert und der Bausatz nennt kein Jahr; es gilt der Anstrich, den die meisten datierten Bilder zeigen; ausgelassen: { $out }; year = … in [kit] für den gewünschten Anstrich angeben
note-anchor-unsettled = Vorlage { $reference }: ihr Anker auf dem Teil { $part } ist ausgelassen, da nichts sonst dieses Teil festlegt
note-anchor-on-print = Vorlage { $reference }: ihre Anker auf Teilen sind ausgelassen, da der bemalte Druck nicht für seine eigene Farbe bürgt
note-settled-fails = der Bausatz ist abgeschlossen, aber sein Druck ist nicht bemalt, wie die Anleitung sagt: { $parts }; neu bemalen und fotografieren, oder den Bausatz zur Erprobung zurücknehmen
note-settled-changed = Version { $version } war abgeschlossen, und diese Teile haben seither eine andere Farbe: { $parts }; palette changes zeigt, warum, oder dem Bausatz eine neue Version geben
note-settled-changed-guide = die Anleitung war abgeschlossen, und diese Teile haben seither eine andere Farbe: { $parts }; dem Bausatz eine Version geben und die Anleitung neu bauen
note-holds-colour = Vorlage { $reference } ist als grau angegeben, und { $file } enthält Farbe: gelesen wird die Luma; tone = "colour" würde mehr sagen
note-grey-anchor-left-out = Vorlage { $reference }: { $anchor } ist ausgelassen, da keine farbige Vorlage das Teil { $part } festlegt
note-grey-part-astray = Vorlage { $reference }: { $anchor } passt nicht zu den anderen Tönen des Bildes und wird dort nicht geglaubt: liegt die Markierung auf dem Teil?
note-grey-anchor-astray = Vorlage { $reference }: { $anchor } passt nicht zu den anderen Tönen des Bildes und wird nicht geglaubt: stimmt die Farbe, und liegt die Markierung darauf?
note-grey-at-odds = Vorlage { $reference }: { $anchors } können nicht beide stimmen, und nichts sagt, was falsch ist: keinem wird dort geglaubt; liegen beide Markierungen auf dem, was sie nennen?
note-grey-all-at-odds = Vorlage { $reference }: eines von { $anchors } ist falsch, und nichts sagt, welches: keinem wird dort geglaubt; liegen alle Markierungen auf dem, was sie nennen?
note-grey-colour-astray = Teil { $part }: seine Farbe passt nicht zu dem, was { $references } { $count ->
        [one] zeigt
       *[other] zeigen
    }. Alles andere passt. Liegt die Markierung in den farbigen Bildern auf dem richtigen Teil?
note-grey-either-astray = Teil { $part }: seine Farbe passt nicht zu dem, was { $references } { $count ->
        [one] zeigt
       *[other] zeigen
    }. Alles andere passt. Liegt die Markierung dort und in den farbigen Bildern auf dem richtigen Teil?
note-is-copy = { $reference } ist eine Kopie des Bildes { $other }, das für beide zählt
note-with-hint = gewogen mit den Worten { $words }
note-with-hint-by = gewogen mit den Worten { $words } ({ $source })
note-as-lighter = gewogen als heller als { $part }
note-as-darker = gewogen als dunkler als { $part }
note-part-clipped-white = in { $reference } ist das Teil überbelichtet: nur eine Grenze
note-part-clipped-black = in { $reference } ist das Teil zugelaufen: nur eine Grenze
note-beyond-lighter = in { $reference } ist das Teil heller als jeder Anker: gelesen durch Verlängern der Tonkurve
note-beyond-darker = in { $reference } ist das Teil dunkler als jeder Anker: gelesen durch Verlängern der Tonkurve
note-no-exposure = in { $reference } legt kein Anker die Belichtung fest: nach dem Umfang des Bildes gelesen, also ungenau
note-no-contrast = in { $reference } legt ein Anker die Belichtung fest und nichts den Kontrast
note-outshines-white = in { $reference } überstrahlt es den weißen Anker, { $anchor } (L* { $lightness }; Pegel { $first } und { $second }): stimmt die Farbe des Ankers, oder liegt er im Schatten?
note-no-paint-fits = keine Farbe der Liste passt zu dem, was die Bilder zeigen: die Anteile sagen fast nichts
note-looks-metallic = Metallicfarbe auf einem Teil, das keines ist; nichts anderes kommt nahe genug
note-looks-fluorescent = Leuchtfarbe; nichts anderes kommt nahe genug
note-looks-plain = keine Metallicfarbe kommt nahe genug
note-parts-under = passt { $light }, aber nicht { $lamp }: dort etwa { $off } daneben
count-2 = zwei
count-3 = drei
count-4 = vier
count-5 = fünf
count-6 = sechs
count-7 = sieben
count-8 = acht
count-9 = neun
count-10 = zehn
count-11 = elf
count-12 = zwölf

## Karte zum Messen von Farben, und Farbblatt

card-title = Karte zum Messen von Farben
card-head = Farbkarte
which-sheet = Blatt { $number } von { $total }
which-boxes = Felder { $first } bis { $last }
card-white = Weiß
card-parts = Teile Farbe : Weiß
card-date = Datum
card-lay = Die Graukarte oder die Tafel mit 24 Feldern hierher legen, in den Rahmen, so herum
card-do-print = Mit 100 % drucken, schwarz, auf mattes weißes Papier.
card-do-left = Linkes Feld: die Farbe, so oft, bis sie den Balken deckt.
card-do-right = Rechtes Feld: 1 Teil Farbe, 9 Teile von einem Weiß.
card-do-lay = Ist alles trocken, Graukarte oder Tafel in den Rahmen legen.
card-do-photograph = Das Blatt von oben fotografieren. Gleichmäßiges Licht, ohne Sonne, Blitz und Glanz; das Papier darf nicht ausbrennen. Zwei Bilder sind besser.
card-ruler = 50 mm, wenn mit 100 % gedruckt
card-care = Vorsicht.
card-care-words = Lüften. Farbe von Haut und Augen, Essen, Kindern und Flammen fernhalten. Nicht ohne Maske und Absaugung spritzen.
card-label = Etikett und Sicherheitsblatt der Farbe und die örtlichen Regeln für Gebrauch und Entsorgung gehen allem vor, was hier steht.
sheet-title-of = Farben von { $file }
sheet-title-of-several = Farben von { $count } Bildern
sheet-title-paints = Farben und die nächsten Malfarben
sheet-count = { $count ->
    [one] 1 Farbe
   *[other] { $count } Farben
}
sheet-largest-first = { $colours }, die größte zuerst
sheet-full-light = Jede Farbe ist die der Fläche im vollen Licht; die meisten ihrer Pixel sind dunkler.
sheet-retired = nicht mehr im Handel
sheet-pixels = { $width } × { $height } Pixel, { $profile }
sheet-alt = Das Bild { $file } mit den Nummern seiner Farben
sheet-label-of = von
sheet-label-shares = Wie viel des Bildes jede Farbe einnimmt
sheet-label-colour = Farbe
sheet-label-paints = Nächste Farben, und ob man den Unterschied sähe
sheet-label-ruler = 50 mm, wenn mit 100 % gedruckt
sheet-label-science = Farben sind CIELAB unter D65, Unterschiede CIEDE2000. Bildschirm und Drucker zeigen sie nur ungefähr: es gilt die Farbe selbst.

note-profile-unused = sein Farbprofil wird nicht verwendet ({ $fault }): sRGB wird angenommen
note-profile-unused-inks = sein Farbprofil wird nicht verwendet ({ $fault }): ideale Druckfarben werden angenommen
note-profile-damaged = es ist beschädigt
note-profile-cut-off = es ist abgeschnitten
note-profile-curve-damaged = eine seiner Kurven ist beschädigt
note-profile-curve-cut-off = eine seiner Kurven ist abgeschnitten
note-profile-tables-damaged = seine Tabellen sind beschädigt
note-profile-flat = seine Primärfarben liegen auf einer Linie
note-profile-bare = es hat weder Tabellen noch eine Matrix
note-profile-channels = es ist für { $channels }-Kanäle gemacht
note-inks-unprofiled = seine Druckfarben haben kein Profil: ideale werden angenommen, die Farben sind grob
note-floats-unprofiled = seine Gleitkommawerte haben kein Profil: sRGB-Werte von 0 bis 1 werden angenommen
note-adobe-unprofiled = die Kamera hat es als Adobe RGB (1998) gekennzeichnet, aber kein Profil eingebettet: sRGB wird angenommen
note-gamma-unprofiled = es nennt ein Gamma von { $gamma } ohne Profil: sRGB wird angenommen
note-range-unread = sein hoher Dynamikumfang wird nicht gelesen: sRGB oder sein Profil wird verwendet
note-less-than = weniger als { $share }
note-part-missing = { $share } des Bildes fehlen: { $why }; nur der Rest wird verwendet
note-part-missing-top = { $share } des Bildes fehlen, oben: { $why }; nur der Rest wird verwendet
note-part-missing-bottom = { $share } des Bildes fehlen, unten: { $why }; nur der Rest wird verwendet
note-part-missing-left = { $share } des Bildes fehlen, links: { $why }; nur der Rest wird verwendet
note-part-missing-right = { $share } des Bildes fehlen, rechts: { $why }; nur der Rest wird verwendet
note-why-cut-off = die Datei ist abgeschnitten
note-why-data-cut-off = ihre Daten sind abgeschnitten
note-why-never-written = das Ende der Datei wurde nie geschrieben
note-why-blank = ein Stück der Datei ist leer
note-why-damaged = ein Stück der Datei ist beschädigt
note-why-no-more-rows = die Datei hat keine weiteren Zeilen
note-levels-left-out = { $many } seiner Pixel haben Werte, die keine sind, und werden ausgelassen
note-frames-weave = seine Einzelbilder wandern um bis zu { $most } Pixel; sie wurden aufeinandergelegt
note-not-still = die Einstellung steht { $around } s in beide Richtungen nicht still: { $used } von { $frames } Einzelbildern gemittelt
note-not-still-alone = die Einstellung steht { $around } s in beide Richtungen nicht still: das eine Einzelbild wird verwendet, wie es ist
note-pixels-not-square = seine Pixel sind nicht quadratisch ({ $ratio }); sie bleiben so
note-frame-starts-at = das Einzelbild, das dann zu sehen ist, beginnt bei { $time }
note-frame-damaged = das Einzelbild ist in der Datei beschädigt
note-matrix-unread = seine Matrix ist von seltener Art und wird nicht gelesen: eine angenommene wird verwendet
note-matrix-assumed = es nennt keine Matrix: nach seiner Größe wird { $name } angenommen
note-range-assumed-full = es nennt keinen Wertebereich: der volle wird angenommen
note-range-assumed-limited = es nennt keinen Wertebereich: der eingeschränkte wird angenommen
note-transfer-assumed = es nennt keine Übertragungskurve: die von sRGB wird angenommen
note-cast-all-over = { $files }: überall { $tint }; ist das das Licht, eine weiße oder graue Stelle mit --white oder --grey nennen
note-colours = { $count ->
    [one] 1 Farbe
   *[other] { $count } Farben
}
note-no-more-colours = { $colours }: mehr hat das Bild nicht
note-as-many-as-asked = { $colours }, wie verlangt; auto gäbe { $auto }
note-most-colours = { $colours }, mehr gibt auto nicht: die nächsten wurden zusammengenommen; mit --colours 20 werden es mehr
note-shades-together = { $colours }: Schattierungen einer Farbe wurden zusammengenommen
note-tint-reddish = rötlich
note-tint-orange = orange
note-tint-yellowish = gelblich
note-tint-greenish = grünlich
note-tint-bluish = bläulich
note-tint-purplish = purpurn
note-unreadable = kann nicht gelesen werden: { $what }
note-same-alike = zeigt dasselbe wie { $reference }
note-same-mirrored = zeigt gespiegelt dasselbe wie { $reference }
note-same-same-file = ist dieselbe Datei wie { $reference }
note-count-once = { $text }: beide zählen einmal
note-count-twice = { $text }: sein Zeugnis zählt womöglich doppelt
note-copy-of = ist { $how }: beide zählen einmal
note-copy-turned = um 90° gedreht
note-copy-turned-half = um 180° gedreht
note-copy-mirrored = gespiegelt
note-copy-mirrored-turned = gespiegelt und um 90° gedreht
note-copy-mirrored-turned-half = gespiegelt und um 180° gedreht
note-copy-edited = in den Tönen bearbeitet
note-copy-cropped = beschnitten
note-declared-grey = als grau angegeben, hat aber Farbe: ist es handkoloriert, oder ist sein Ton „colour“?
note-declared-colour = als farbig angegeben, zeigt aber keine Farbe: ist sein Ton „grey“?
note-no-sample = keine Probe: kein Teil ist darin angezeichnet
note-mark-outside = { $mark } liegt außerhalb des Bildes
note-mark-partly-outside = { $mark } ragt über den Bildrand
note-mark-small = { $count ->
    [one] { $mark } ist klein: 1 Pixel
   *[other] { $mark } ist klein: { $count } Pixel
  }
note-no-anchor = kein Anker und kein Licht angegeben: sein Farbstich wird geraten
note-no-anchor-light = kein Anker: nur das angegebene Licht berichtigt es
note-no-anchor-grey = kein Anker: nichts legt seine Töne fest
note-no-time = keine Zeit: wo im Film steht das Einzelbild?
note-no-video = kein Video: wo im Film steht das Einzelbild?
note-small-picture = klein: { $width } × { $height } Pixel; gibt es eine größere Kopie?
note-no-credit = keine Nennung: wem ist zu danken, und darf es gezeigt werden?

## Lampen und Tageslicht, wie sie im Satz stehen

under-daylight = bei Tageslicht
under-daylight-of = bei Tageslicht ({ $light })
under-window = bei Tageslicht hinter Glas
under-sun = in der Sonne
under-even = bei gleichmäßig weißem Licht
under-bulb = unter einer Glühlampe
under-led-warm = unter einer warmweißen LED-Lampe
under-led-cool = unter einer kaltweißen LED-Lampe
under-led = unter einer weißen LED-Lampe
under-tube-warm = unter einer warmweißen Leuchtstoffröhre
under-tube = unter einer Leuchtstoffröhre
under-sodium = unter einer Natriumlampe wie an der Straße
under-halide = unter einer Halogen-Metalldampflampe
under-photoflood = unter Fotolampen
under-studio = unter Studiolampen
under-printer = unter der Lampe eines Kopierers
under-candle = bei Kerzenlicht ({ $light })
under-warm = unter einer warmweißen Lampe ({ $light })
under-lamp = unter einer weißen Lampe ({ $light })
