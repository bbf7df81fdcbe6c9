using VibeCheck.Core.Airframes;

namespace VibeCheck.Core.Surveys;

/// <summary>Finds, for one mount, the stacks under its bolts that bring it nearest level.</summary>
/// <remarks>
/// The motor sits on the plane that fits the stacks best (least squares); its slopes are subtracted from the tilt. Looked for: the least
/// tilt left of all combinations whose stacks keep to one plane within the rocking limit; among those within 0.005° of the least, far less
/// than any gauge sees, the fewest pieces, then the least rocking, the least tilt, the least height. No shims at all is one of the
/// combinations, so a plan is never worse than none. Three bolts that span the plane are tried through, the stacks of the others can
/// then lie only in a narrow band. Exact up to <see cref="ExactStacks"/> different stacks a bolt, as long as that takes no more steps than
/// allowed; for larger kits, or many bolts on a kit of fine steps, only the stacks next to the ideal plane are tried, at the lowest
/// <see cref="MostOffsets"/> heights of it.
/// </remarks>
internal sealed class StackSearch
{
    internal const int ExactStacks = 64;

    /// <summary>Steps of the exact search that all motors of a plan may take together: some second of one core.</summary>
    internal const int MostSteps = 10_000_000;

    private const int MostStepsOfOne = 3_000_000;
    private const int MostOffsets = 200;

    private readonly BoltPattern _pattern;
    private readonly MountPlane _plane;
    private readonly ShimOptions _options;
    private readonly ShimStack[] _stacks;
    private readonly int[]? _left;
    private readonly double _tanAcross;
    private readonly double _tanAlong;
    private readonly int[] _order;
    private readonly ShimStack[] _chosen;
    private readonly double[] _heights;
    private readonly double[]?[] _fromFirst;
    private ShimStack[][] _choices = [];
    private double _least = double.PositiveInfinity;
    private Found? _best;
    private bool _collecting;
    private int _stepsLeft;

    /// <param name="pattern">The bolts.</param>
    /// <param name="kit">The kit.</param>
    /// <param name="left">Pieces left of each thickness; null for endless.</param>
    /// <param name="acrossDeg">Tilt to take out, degrees, positive where the right bolts need raising.</param>
    /// <param name="alongDeg">Tilt to take out, degrees, positive where the out bolts need raising.</param>
    /// <param name="options">Limits.</param>
    internal StackSearch(BoltPattern pattern, ShimKit kit, int[]? left, double acrossDeg, double alongDeg, ShimOptions options)
    {
        (_pattern, _options, _left) = (pattern, options, left);
        _plane = new MountPlane(pattern);
        _tanAcross = Math.Tan(double.DegreesToRadians(acrossDeg));
        _tanAlong = Math.Tan(double.DegreesToRadians(alongDeg));
        double[] ideal = [.. pattern.Bolts.Select(b => _tanAcross * b.AcrossMm + _tanAlong * b.AlongMm)];
        _stacks = ShimStack.AllOf(kit, left, ideal.Max() - ideal.Min());
        _order = _plane.SpanningFirst;
        _chosen = new ShimStack[pattern.Bolts.Count];
        _heights = new double[pattern.Bolts.Count];
        _fromFirst = [.. _order.Select(_plane.WeightsFromSpanning)];
    }

    /// <summary>The best stacks.</summary>
    /// <param name="mostSteps">Steps after which the exact search gives way to the one near the ideal plane.</param>
    internal ShimStacks Best(int mostSteps = MostStepsOfOne)
    {
        ShimStack[][] all = [.. Enumerable.Repeat(_stacks, _order.Length)];
        if (_stacks.Length > ExactStacks || !Pass([all], Math.Min(mostSteps, MostStepsOfOne)))
        {
            (_least, _best) = (double.PositiveInfinity, null);
            ShimStack[][] none = [.. Enumerable.Repeat(_stacks[..1], _order.Length)];
            Pass([none, .. Offsets().Select(NearIdeal)], int.MaxValue);
        }

        return ToStacks(_best!);
    }

    /// <summary>Finds the least tilt of all choices, then the best stacks among those near it; false where the steps ran out.</summary>
    private bool Pass(ShimStack[][][] choices, int steps)
    {
        _stepsLeft = steps;
        foreach (bool collecting in (ReadOnlySpan<bool>)[false, true])
        {
            _collecting = collecting;
            foreach (ShimStack[][] choice in choices)
            {
                _choices = choice;
                Search(0);
            }
        }

        return _stepsLeft > 0;
    }

    private IEnumerable<double> Offsets() => _stacks.Select(s => s.HeightMm).Distinct().Take(MostOffsets);

    /// <summary>For each bolt the stacks nearest to the ideal plane at that height: fewer where there are more bolts, so that the work
    /// stays bounded.</summary>
    private ShimStack[][] NearIdeal(double offsetMm)
    {
        double[] ideal = [.. _pattern.Bolts.Select(b => _tanAcross * b.AcrossMm + _tanAlong * b.AlongMm)];
        double lowest = ideal.Min();
        int most = ideal.Length switch
        {
            <= 4 => 3,
            <= 8 => 2,
            _ => 1,
        };
        return [.. _order.Select(b => Nearest(ideal[b] - lowest + offsetMm, most).Concat(ideal.Length <= 4 ? _stacks[..1] : []).ToArray())];
    }

    private IEnumerable<ShimStack> Nearest(double heightMm, int most)
    {
        int high = Array.BinarySearch(_stacks, new ShimStack([], [], heightMm), ShimStack.ByHeight),
            low;
        high = high < 0 ? ~high : high;
        low = high - 1;
        for (int i = 0; i < most && (low >= 0 || high < _stacks.Length); i++)
        {
            bool lower = high >= _stacks.Length || (low >= 0 && heightMm - _stacks[low].HeightMm <= _stacks[high].HeightMm - heightMm);
            yield return _stacks[lower ? low-- : high++];
        }
    }

    private void Search(int depth)
    {
        if (--_stepsLeft < 0)
        {
            return;
        }

        if (depth == _order.Length)
        {
            Weigh();
            return;
        }

        int bolt = _order[depth];
        double middle = 0,
            reach = double.PositiveInfinity;
        if (_fromFirst[depth] is double[] weights)
        {
            reach = _options.RockingLimitMm + 1e-9;
            for (int i = 0; i < weights.Length; i++)
            {
                middle += weights[i] * _heights[_order[i]];
                reach += Math.Abs(weights[i]) * _options.RockingLimitMm;
            }
        }

        foreach (ShimStack stack in _choices[depth])
        {
            if (Math.Abs(stack.HeightMm - middle) <= reach && Take(stack))
            {
                (_chosen[bolt], _heights[bolt]) = (stack, stack.HeightMm);
                Search(depth + 1);
                GiveBack(stack);
            }
        }
    }

    private bool Take(ShimStack stack)
    {
        if (_left is null)
        {
            return true;
        }

        for (int i = 0; i < _left.Length; i++)
        {
            if (stack.Counts[i] > _left[i])
            {
                return false;
            }
        }

        for (int i = 0; i < _left.Length; i++)
        {
            _left[i] -= stack.Counts[i];
        }

        return true;
    }

    private void GiveBack(ShimStack stack)
    {
        for (int i = 0; i < (_left?.Length ?? 0); i++)
        {
            _left![i] += stack.Counts[i];
        }
    }

    private void Weigh()
    {
        (double across, double along) = _plane.Slopes(_heights);
        double rocking = _plane.Rocking(_heights, across, along);
        if (rocking > _options.RockingLimitMm + 1e-9)
        {
            return;
        }

        double leftAcross = double.RadiansToDegrees(Math.Atan(_tanAcross - across)),
            leftAlong = double.RadiansToDegrees(Math.Atan(_tanAlong - along));
        double left = Math.Sqrt(leftAcross * leftAcross + leftAlong * leftAlong);
        if (!_collecting)
        {
            _least = Math.Min(_least, left);
        }
        else if (left <= _least + ShimOptions.EqualDeg)
        {
            var found = new Found([.. _chosen], across, along, leftAcross, leftAlong, rocking, left);
            _best = _best is null || found.IsBetterThan(_best) ? found : _best;
        }
    }

    private ShimStacks ToStacks(Found f) =>
        new(
            [.. _pattern.Bolts.Select((b, i) => new BoltShims(b, f.Chosen[i].PiecesMm))],
            f.SlopeAcross,
            f.SlopeAlong,
            f.LeftAcrossDeg,
            f.LeftAlongDeg,
            f.RockingMm
        );

    private sealed record Found(
        ShimStack[] Chosen,
        double SlopeAcross,
        double SlopeAlong,
        double LeftAcrossDeg,
        double LeftAlongDeg,
        double RockingMm,
        double LeftDeg
    )
    {
        internal int Pieces { get; } = Chosen.Sum(s => s.PiecesMm.Count);

        internal double HeightMm { get; } = Chosen.Sum(s => s.HeightMm);

        internal bool IsBetterThan(Found other)
        {
            const double Same = 1e-9;
            return Pieces != other.Pieces ? Pieces < other.Pieces
                : Math.Abs(RockingMm - other.RockingMm) > Same ? RockingMm < other.RockingMm
                : Math.Abs(LeftDeg - other.LeftDeg) > Same ? LeftDeg < other.LeftDeg
                : HeightMm < other.HeightMm - Same;
        }
    }
}
