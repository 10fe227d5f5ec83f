// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/cavity/solid_lines.h"

#include "core/cavity/solids.h"

#include <QRectF>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

namespace portwright {
namespace {

constexpr int chords = 96;  // of a whole turn
constexpr double aside =
    0.0006;  // of the whole drawing: an edge is looked at from beside it, clear of chords' sagittas

Point3 plus(const Point3& a, const Point3& b, double times = 1)
{
    return {a[0] + times * b[0], a[1] + times * b[1], a[2] + times * b[2]};
}
double dot(const Point3& a, const Point3& b) { return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]; }
Point3 cross(const Point3& a, const Point3& b)
{
    return {a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
}
Point3 unit(const Point3& a)
{
    const double length = std::sqrt(dot(a, a));
    return length > 0 ? Point3{a[0] / length, a[1] / length, a[2] / length} : Point3{0, 0, 0};
}
Point3 between(const Point3& a, const Point3& b, double t) { return plus(plus({0, 0, 0}, a, 1 - t), b, t); }

SurfaceNet flatFace(const std::vector<Point3>& loop, const Point3& normal)
{
    Point3 centre{0, 0, 0};
    for (const Point3& p : loop)
        centre = plus(centre, p, 1.0 / double(loop.size()));
    SurfaceNet net{2, int(loop.size()) + 1, {}, {}, true};
    net.at.assign(loop.size() + 1, centre);
    net.at.insert(net.at.end(), loop.begin(), loop.end());
    net.at.push_back(loop.front());
    net.normal.assign(net.at.size(), normal);
    return net;
}

/// A convex body of flat faces, each a loop of vertex numbers, either way round.
SolidShape polyhedron(const std::vector<Point3>& vertices, const std::vector<std::vector<std::size_t>>& faces)
{
    Point3 middle{0, 0, 0};
    for (const Point3& v : vertices)
        middle = plus(middle, v, 1.0 / double(vertices.size()));
    SolidShape shape;
    std::map<std::pair<std::size_t, std::size_t>, std::vector<Point3>> normals;
    for (const auto& face : faces) {
        std::vector<Point3> loop;
        Point3 normal{0, 0, 0};
        for (std::size_t i = 0; i < face.size(); ++i) {
            loop.push_back(vertices[face[i]]);
            normal = plus(normal, cross(vertices[face[i]], vertices[face[(i + 1) % face.size()]]));
        }
        normal = unit(normal);
        if (dot(normal, plus(loop.front(), middle, -1)) < 0) normal = plus({0, 0, 0}, normal, -1);
        for (std::size_t i = 0; i < face.size(); ++i) {
            const auto ends = std::minmax(face[i], face[(i + 1) % face.size()]);
            normals[ends].push_back(normal);
        }
        shape.nets.push_back(flatFace(loop, normal));
    }
    for (const auto& [ends, n] : normals) {
        const Point3 &a = vertices[ends.first], &b = vertices[ends.second];
        if (a != b) shape.edges.push_back({{a, b}, {n.front(), n.front()}, {n.back(), n.back()}});
    }
    return shape;
}

SolidShape frustum(double w, double b, double topW, double topB, double h)
{
    const std::vector<Point3> v{{-w / 2, -b / 2, 0},     {w / 2, -b / 2, 0},        {w / 2, b / 2, 0},
                                {-w / 2, b / 2, 0},      {-topW / 2, -topB / 2, h}, {topW / 2, -topB / 2, h},
                                {topW / 2, topB / 2, h}, {-topW / 2, topB / 2, h}};
    return polyhedron(v, {{0, 1, 2, 3}, {4, 5, 6, 7}, {0, 1, 5, 4}, {1, 2, 6, 5}, {2, 3, 7, 6}, {3, 0, 4, 7}});
}

double angleOf(int i) { return 2 * pi * (i % chords) / chords; }  // the last point is the first to the bit

/// A disc over a net's ring, and the rim between them.
void closeRing(SolidShape& shape, const SurfaceNet& net, int row, const Point3& normal)
{
    std::vector<Point3> loop;
    Edge rim;
    for (int i = 0; i <= chords; ++i) {
        const std::size_t k = std::size_t(row * net.columns + i);
        if (i < chords) loop.push_back(net.at[k]);
        rim.at.push_back(net.at[k]);
        rim.one.push_back(net.normal[k]);
        rim.other.push_back(normal);
    }
    shape.nets.push_back(flatFace(loop, normal));
    shape.edges.push_back(std::move(rim));
}

SolidShape roundFrustum(double d, double topD, double h)
{
    SurfaceNet side{2, chords + 1, {}, {}, false};
    for (const double share : {0.0, 1.0})
        for (int i = 0; i <= chords; ++i) {
            const double r = (d + share * (topD - d)) / 2, c = std::cos(angleOf(i)), s = std::sin(angleOf(i));
            side.at.push_back({r * c, r * s, share * h});
            side.normal.push_back(unit({h * c, h * s, (d - topD) / 2}));
        }
    SolidShape shape;
    if (d > 0) closeRing(shape, side, 0, {0, 0, -1});
    if (topD > 0) closeRing(shape, side, 1, {0, 0, 1});
    shape.nets.push_back(std::move(side));
    return shape;
}

SolidShape ellipsoidCap(double w, double b, double h)
{
    constexpr int rings = chords / 4;
    SurfaceNet dome{rings + 1, chords + 1, {}, {}, false};
    for (int k = 0; k <= rings; ++k)
        for (int i = 0; i <= chords; ++i) {
            const double up = pi / 2 * k / rings, r = k == rings ? 0 : std::cos(up);
            const double x = r * std::cos(angleOf(i)), y = r * std::sin(angleOf(i)), z = std::sin(up);
            dome.at.push_back({x * w / 2, y * b / 2, z * h});
            dome.normal.push_back(unit({x / (w / 2), y / (b / 2), z / h}));
        }
    SolidShape shape;
    closeRing(shape, dome, 0, {0, 0, -1});
    shape.nets.push_back(std::move(dome));
    return shape;
}

/// Starts upwards at the base's centre and bends towards the side of the width.
SolidShape bentTube(double d, double R, double angle)
{
    const int steps = std::clamp(int(std::ceil(chords * std::abs(angle) / (2 * pi))), 2, 4 * chords);
    SurfaceNet wall{steps + 1, chords + 1, {}, {}, false};
    Point3 end{};
    for (int k = 0; k <= steps; ++k) {
        const double along = angle * k / steps;
        const Point3 out{-std::cos(along), 0, std::sin(along)};  // away from the bend's centre
        for (int i = 0; i <= chords; ++i) {
            const double c = std::cos(angleOf(i)), s = std::sin(angleOf(i));
            const Point3 normal{c * out[0], s, c * out[2]};
            wall.normal.push_back(normal);
            wall.at.push_back(plus(plus({R, 0, 0}, out, R), normal, d / 2));
        }
        end = {std::sin(along), 0, std::cos(along)};
    }
    SolidShape shape;
    closeRing(shape, wall, 0, {0, 0, -1});
    closeRing(shape, wall, steps, end);
    shape.nets.push_back(std::move(wall));
    return shape;
}

struct Shaped {
    SolidShape operator()(const BoxSolid& s) const { return frustum(s.width, s.breadth, s.width, s.breadth, s.height); }
    SolidShape operator()(const WedgeSolid& s) const
    {
        const double w = s.width / 2, b = s.breadth / 2, h = s.height;
        return polyhedron({{-w, -b, 0}, {w, -b, 0}, {-w, -b, h}, {-w, b, 0}, {w, b, 0}, {-w, b, h}},
                          {{0, 1, 2}, {3, 4, 5}, {0, 1, 4, 3}, {1, 2, 5, 4}, {2, 0, 3, 5}});
    }
    SolidShape operator()(const RoundFrustumSolid& s) const
    {
        return roundFrustum(s.diameter, s.topDiameter, s.height);
    }
    SolidShape operator()(const RectangularFrustumSolid& s) const
    {
        return frustum(s.width, s.breadth, s.topWidth, s.topBreadth, s.height);
    }
    SolidShape operator()(const CylinderSolid& s) const { return roundFrustum(s.diameter, s.diameter, s.height); }
    SolidShape operator()(const EllipsoidCapSolid& s) const { return ellipsoidCap(s.width, s.breadth, s.height); }
    SolidShape operator()(const BentTubeSolid& s) const { return bentTube(s.diameter, s.centreLineRadius, s.angle); }
};

template <class Visit> void eachTriangle(const SurfaceNet& net, Visit&& visit)
{
    for (int r = 0; r + 1 < net.rows; ++r)
        for (int c = 0; c + 1 < net.columns; ++c) {
            const auto k = std::size_t(r * net.columns + c), below = k + std::size_t(net.columns);
            visit(k, k + 1, below + 1);
            visit(k, below + 1, below);
        }
}

/// Where the surface turns away from the viewer: zero of normal and view, linear between the net's points.
std::vector<Edge> outlinesOf(const SurfaceNet& net, const Point3& towards)
{
    if (net.flat) return {};
    std::vector<double> facing;
    for (const Point3& n : net.normal) {
        const double f = dot(n, towards);
        facing.push_back(f == 0 ? 1e-12 : f);
    }
    using Crossing = std::pair<std::size_t, std::size_t>;  // of a net's edge
    std::map<Crossing, std::vector<Crossing>> next;
    eachTriangle(net, [&](std::size_t a, std::size_t b, std::size_t c) {
        std::vector<Crossing> crossings;
        for (const auto& [p, q] : {std::pair{a, b}, {b, c}, {c, a}})
            if ((facing[p] > 0) != (facing[q] > 0)) crossings.push_back(std::minmax(p, q));
        if (crossings.size() != 2) return;
        next[crossings[0]].push_back(crossings[1]);
        next[crossings[1]].push_back(crossings[0]);
    });
    std::vector<Edge> chains;
    const auto put = [&](Edge& edge, const Crossing& x) {
        const double t = facing[x.first] / (facing[x.first] - facing[x.second]);
        edge.at.push_back(between(net.at[x.first], net.at[x.second], t));
        edge.one.push_back(unit(between(net.normal[x.first], net.normal[x.second], t)));
    };
    const auto follow = [&](Crossing x) {
        Edge edge;
        put(edge, x);
        while (!next[x].empty()) {
            const Crossing y = next[x].back();
            next[x].pop_back();
            std::erase(next[y], x);
            put(edge, x = y);
        }
        edge.other = edge.one;
        if (edge.at.size() > 1) chains.push_back(std::move(edge));
    };
    for (const auto& [x, ends] : next)
        if (ends.size() == 1) follow(x);
    for (const auto& [x, ends] : next)
        if (!ends.empty()) follow(x);
    return chains;
}

/// Faces that may hide something, sorted into a net of boxes on paper.
class Screen {
public:
    Screen(const Axonometry& view, const QRectF& bounds) : view_(view), bounds_(bounds), bins_(bins * bins) {}

    void add(const SurfaceNet& net)
    {
        eachTriangle(net, [&](std::size_t a, std::size_t b, std::size_t c) {
            Face f{{onPaper(view_, net.at[a]), onPaper(view_, net.at[b]), onPaper(view_, net.at[c])},
                   {depthOf(view_, net.at[a]), depthOf(view_, net.at[b]), depthOf(view_, net.at[c])}};
            const QRectF box = f.at.boundingRect();
            const auto [left, top] = binOf(box.topLeft());
            const auto [right, foot] = binOf(box.bottomRight());
            for (int y = top; y <= foot; ++y)
                for (int x = left; x <= right; ++x)
                    bins_[std::size_t(y * bins + x)].push_back(faces_.size());
            faces_.push_back(std::move(f));
        });
    }
    bool hides(const Point3& place, double grace) const
    {
        const QPointF p = onPaper(view_, place);
        const double depth = depthOf(view_, place);
        const auto [x, y] = binOf(p);
        for (const std::size_t i : bins_[std::size_t(y * bins + x)])
            if (const auto d = depthAt(faces_[i].at, faces_[i].depth, p); d && *d > depth + grace) return true;
        return false;
    }
    static std::optional<double> depthAt(const QPolygonF& at, const std::array<double, 3>& depth, const QPointF& p)
    {
        const auto turn = [](const QPointF& a, const QPointF& b) { return a.x() * b.y() - a.y() * b.x(); };
        const double whole = turn(at[1] - at[0], at[2] - at[0]);
        if (whole == 0) return std::nullopt;
        const double b = turn(p - at[0], at[2] - at[0]) / whole, c = turn(at[1] - at[0], p - at[0]) / whole;
        constexpr double grace = -1e-9;  // shared edges belong to both
        if (b < grace || c < grace || 1 - b - c < grace) return std::nullopt;
        return (1 - b - c) * depth[0] + b * depth[1] + c * depth[2];
    }

private:
    struct Face {
        QPolygonF at;
        std::array<double, 3> depth;
    };
    static constexpr int bins = 48;
    Axonometry view_;
    QRectF bounds_;
    std::vector<Face> faces_;
    std::vector<std::vector<std::size_t>> bins_;

    std::pair<int, int> binOf(const QPointF& p) const
    {
        const auto bin = [](double at, double from, double wide) {
            return std::clamp(int((at - from) / std::max(wide, 1e-12) * bins), 0, bins - 1);
        };
        return {bin(p.x(), bounds_.left(), bounds_.width()), bin(p.y(), bounds_.top(), bounds_.height())};
    }
};

/// An edge is seen if one of its two faces is seen beside it. A face that lies in another solid's face counts as seen:
/// the crease between two solids is drawn.
bool hiddenAt(const Point3& place, const Point3& one, const Point3& other, const Screen& screen, const Point3& towards,
              double size)
{
    const double grace = 1e-6 * size;
    bool facing = false;
    for (const Point3& normal : {one, other}) {
        if (dot(normal, towards) < -1e-6) continue;
        facing = true;
        if (!screen.hides(plus(place, normal, aside * size), grace)) return false;
    }
    return facing || screen.hides(plus(place, unit(plus(one, other)), aside * size), grace);
}

/// Splits an edge into what is seen and what is hidden, in steps of a share of the drawing.
void split(const Edge& edge, const Screen& screen, const Axonometry& view, double size, DrawnSolid& out)
{
    QPolygonF run;
    bool runHidden = false;
    const auto finish = [&] {
        if (run.size() > 1) (runHidden ? out.hidden : out.seen).push_back(run);
    };
    for (std::size_t i = 0; i + 1 < edge.at.size(); ++i) {
        const Point3 &a = edge.at[i], &b = edge.at[i + 1], along = plus(b, a, -1);
        const int steps = std::clamp(int(std::ceil(std::sqrt(dot(along, along)) / (size / 160))), 1, 400);
        for (int k = 0; k < steps; ++k) {
            const double t = (k + 0.5) / steps;
            const bool hidden = hiddenAt(between(a, b, t), between(edge.one[i], edge.one[i + 1], t),
                                         between(edge.other[i], edge.other[i + 1], t), screen, view.towards, size);
            if (run.isEmpty() || hidden != runHidden) {
                finish();
                run = {onPaper(view, between(a, b, double(k) / steps))};
                runHidden = hidden;
            }
            run.append(onPaper(view, between(a, b, (k + 1.0) / steps)));
        }
    }
    finish();
}

void frontFaces(const SolidShape& shape, const Axonometry& view, std::vector<QPolygonF>& out)
{
    for (const SurfaceNet& net : shape.nets)
        eachTriangle(net, [&](std::size_t a, std::size_t b, std::size_t c) {
            const Point3 normal = plus(plus(net.normal[a], net.normal[b]), net.normal[c]);
            if (dot(normal, view.towards) > 0)
                out.push_back({onPaper(view, net.at[a]), onPaper(view, net.at[b]), onPaper(view, net.at[c])});
        });
}

}  // namespace

QPointF onPaper(const Axonometry& view, const Point3& place) { return {dot(view.right, place), -dot(view.up, place)}; }
double depthOf(const Axonometry& view, const Point3& place) { return dot(view.towards, place); }

SolidShape shapeOf(const SolidStep& step)
{
    SolidShape shape = std::visit(Shaped{}, step.solid);
    const int first = step.axis == SolidAxis::x ? 1 : step.axis == SolidAxis::y ? 2 : 0;  // axis of the width
    const auto turned = [first](const Point3& p) {
        Point3 out{};
        for (int i = 0; i < 3; ++i)
            out[std::size_t((first + i) % 3)] = p[std::size_t(i)];
        return out;
    };
    for (SurfaceNet& net : shape.nets) {
        for (Point3& p : net.at)
            p = plus(turned(p), step.at);
        for (Point3& n : net.normal)
            n = turned(n);
    }
    for (Edge& edge : shape.edges) {
        for (Point3& p : edge.at)
            p = plus(turned(p), step.at);
        for (auto* normals : {&edge.one, &edge.other})
            for (Point3& n : *normals)
                n = turned(n);
    }
    return shape;
}

double enclosedVolume(const SolidShape& shape)
{
    double sum = 0;
    for (const SurfaceNet& net : shape.nets)
        eachTriangle(net, [&](std::size_t a, std::size_t b, std::size_t c) {
            const Point3 area = cross(plus(net.at[b], net.at[a], -1), plus(net.at[c], net.at[a], -1));
            const Point3 outward = plus(plus(net.normal[a], net.normal[b]), net.normal[c]);
            sum += (dot(area, outward) < 0 ? -1 : 1) * dot(area, net.at[a]) / 6;
        });
    return sum;
}

SolidsDrawing drawingOf(const SolidsMeasurement& solids, const Axonometry& view)
{
    SolidsDrawing out;
    out.view = view;
    double left = 1e300, right = -1e300, top = 1e300, foot = -1e300;
    for (const SolidStep& step : solids.steps) {
        SolidShape shape;
        if (volumeOf(step.solid)) shape = shapeOf(step);
        for (const SurfaceNet& net : shape.nets)
            for (const Point3& p : net.at) {
                const QPointF q = onPaper(view, p);
                left = std::min(left, q.x()), right = std::max(right, q.x());
                top = std::min(top, q.y()), foot = std::max(foot, q.y());
            }
        out.shapes.push_back(std::move(shape));
    }
    if (left < right && top < foot) out.bounds = QRectF(QPointF(left, top), QPointF(right, foot));
    const double size = std::max({out.bounds.width(), out.bounds.height(), 1e-9});
    Screen added(view, out.bounds);
    const Screen nothing(view, out.bounds);
    for (std::size_t i = 0; i < solids.steps.size(); ++i)
        if (!solids.steps[i].subtract)
            for (const SurfaceNet& net : out.shapes[i].nets)
                added.add(net);
    for (std::size_t i = 0; i < solids.steps.size(); ++i) {
        DrawnSolid drawn{i, solids.steps[i].subtract, {}, {}, {}};
        const Screen& screen = drawn.subtract ? nothing : added;
        for (const Edge& edge : out.shapes[i].edges)
            split(edge, screen, view, size, drawn);
        for (const SurfaceNet& net : out.shapes[i].nets)
            for (const Edge& edge : outlinesOf(net, view.towards))
                split(edge, screen, view, size, drawn);
        frontFaces(out.shapes[i], view, drawn.patches);
        out.solids.push_back(std::move(drawn));
    }
    return out;
}

std::vector<int> stepsAt(const SolidsDrawing& drawing, const QPointF& paper)
{
    std::vector<std::pair<double, int>> found;
    for (std::size_t i = 0; i < drawing.shapes.size(); ++i) {
        std::optional<double> nearest;
        for (const SurfaceNet& net : drawing.shapes[i].nets)
            eachTriangle(net, [&](std::size_t a, std::size_t b, std::size_t c) {
                const QPolygonF at{onPaper(drawing.view, net.at[a]), onPaper(drawing.view, net.at[b]),
                                   onPaper(drawing.view, net.at[c])};
                const auto depth = Screen::depthAt(at,
                                                   {depthOf(drawing.view, net.at[a]), depthOf(drawing.view, net.at[b]),
                                                    depthOf(drawing.view, net.at[c])},
                                                   paper);
                if (depth && (!nearest || *depth > *nearest)) nearest = depth;
            });
        if (nearest) found.emplace_back(-*nearest, int(i));
    }
    std::sort(found.begin(), found.end());
    std::vector<int> steps;
    steps.reserve(found.size());
    for (const auto& [depth, step] : found)
        steps.push_back(step);
    return steps;
}

}  // namespace portwright
