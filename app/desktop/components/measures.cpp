// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/measures.h"

#include <QApplication>
#include <QFontDatabase>
#include <QFontInfo>
#include <QFontMetricsF>
#include <QHash>
#include <QStyle>
#include <QWidget>

#include <algorithm>
#include <cmath>

namespace portwright {

namespace {

constexpr double drawnAt = 12.0;  // px of the font in the drawings

double factorOf(Letters letters)
{
    switch (letters) {
    case Letters::remark:
        return 0.92;
    case Letters::body:
        return 1.0;
    case Letters::readout:
        return 1.08;
    case Letters::stationTitle:
        return 1.33;
    case Letters::emptyTitle:
        return 1.67;
    }
    return 1.0;
}

void scale(QFont& font, double factor)
{
    if (font.pointSizeF() > 0)
        font.setPointSizeF(font.pointSizeF() * factor);
    else
        font.setPixelSize(std::max(1, static_cast<int>(std::lround(font.pixelSize() * factor))));
}

bool familyHasEqualDigits(const QFont& font)
{
    static QHash<QString, bool> known;  // measuring ten digits is slow beside looking one word up
    const QString family = font.family();
    const auto found = known.constFind(family);
    return found != known.constEnd() ? *found : *known.insert(family, digitsEquallyWide(font));
}

}  // namespace

double em() { return QFontInfo(QApplication::font()).pixelSize(); }

double pxf(double atTwelve) { return atTwelve * em() / drawnAt; }

int px(double atTwelve)
{
    const int rounded = static_cast<int>(std::lround(pxf(atTwelve)));
    return atTwelve > 0 ? std::max(1, rounded) : rounded;
}

QFont lettersFont(Letters letters)
{
    QFont font = QApplication::font();
    scale(font, factorOf(letters));
    if (letters >= Letters::readout) font.setWeight(QFont::DemiBold);
    return font;
}

QFont figureFont(Letters letters)
{
    QFont font = lettersFont(letters);
    if (!familyHasEqualDigits(font) && QFontDatabase::hasFamily(QStringLiteral("Open Sans")))
        font.setFamily(QStringLiteral("Open Sans"));
    return font;
}

bool digitsEquallyWide(const QFont& font)
{
    const QFontMetricsF metrics(font);
    const double zero = metrics.horizontalAdvance(QLatin1Char('0'));
    for (char digit = '1'; digit <= '9'; ++digit)
        if (std::abs(metrics.horizontalAdvance(QLatin1Char(digit)) - zero) > 0.01) return false;
    return true;
}

bool motionAllowed(const QWidget& widget)
{
    return widget.isVisible() && QGuiApplication::platformName() != QLatin1String("offscreen") &&
           widget.style()->styleHint(QStyle::SH_Widget_Animation_Duration, nullptr, &widget) > 0;
}

}  // namespace portwright
