// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/figure_text.h"

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

QString unitName(Dimension dimension, UnitSystem system)
{
    return QString::fromStdString(shownUnit(dimension, system).name);
}

QString uncertaintyText(double si, Dimension dimension, UnitSystem system)
{
    const Unit& unit = shownUnit(dimension, system);
    const double shown = std::abs(si * unit.per / unit.times);  // a width: the zero of the scale plays no part
    if (!(shown > 0) || !std::isfinite(shown)) return localNumber(QStringLiteral("0"));
    const int tens = static_cast<int>(std::floor(std::log10(shown)));
    const bool startsWithOne = shown / std::pow(10.0, tens) < 1.95;
    const int decimals = std::max(0, (startsWithOne ? 1 : 0) - tens);
    return localNumber(QString::number(shown, 'f', decimals));
}

}  // namespace portwright
