// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/figure_text.h"

#include "core/quantity/ranged.h"

#include <QLocale>

#include <cmath>

namespace portwright {

QString localNumber(QString text)
{
    text.replace(QLatin1Char('.'), QLocale().decimalPoint());
    return text.replace(QLatin1Char('-'), QChar(0x2212));
}

QString localSentence(std::string_view text)
{
    QString sentence = QString::fromUtf8(text.data(), static_cast<qsizetype>(text.size()));
    const QString mark = QLocale().decimalPoint();
    if (mark == QLatin1String(".")) return sentence;
    for (qsizetype i = 1; i + 1 < sentence.size(); ++i)
        if (sentence[i] == QLatin1Char('.') && sentence[i - 1].isDigit() && sentence[i + 1].isDigit())
            sentence.replace(i, 1, mark);
    return sentence;
}

QString figureText(double si, Dimension dimension, UnitSystem system)
{
    return localSentence(formatQuantity(si, dimension, system));
}

QString rangedText(double si, double uncertainty, Dimension dimension, UnitSystem system)
{
    return localSentence(formatRanged(si, uncertainty, dimension, system));
}

QString unitName(Dimension dimension, UnitSystem system)
{
    return QString::fromStdString(shownUnit(dimension, system).name);
}

QString uncertaintyText(double si, Dimension dimension, UnitSystem system)
{
    const Unit& unit = shownUnit(dimension, system);
    const double shown = std::abs(si * unit.per / unit.times);  // a width: the zero of the scale plays no part
    if (!(shown > 0) || !std::isfinite(shown)) return localNumber(QStringLiteral("0"));
    return localNumber(QString::number(shown, 'f', std::max(0, decimalsOfUncertainty(shown))));
}

}  // namespace portwright
