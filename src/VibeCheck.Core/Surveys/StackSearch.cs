using VibeCheck.Core.Airframes;

namespace VibeCheck.Core.Surveys;

/// <summary>Finds, for one mount, the stacks under its bolts that bring it nearest level.</summary>
/// <remarks>
/// The motor sits on the plane that fits the stacks best (least squares); its slopes are taken off the tilt. Looked for: the least tilt
/// left of all combinations whose stacks keep to one plane within the rocking limit; among those within 0.005° of the least, far less
/// than any gauge sees, the fewest pieces, then the least rocking, the least tilt, the least height. No shims at all is one of the
/// combinations, so a plan is never worse than none. Three bolts that span the plane are tried through, the stacks of the others can
/// then lie only in a narrow band. Exact up to <see cref="ExactStacks"/> different stacks a bolt; for larger kits only the stacks next to
/// the ideal plane are tried, at every height of it.
/// </remarks>
internal sealed class StackSearch
{
    internal const int ExactStacks = 64;

    private readonly BoltPattern _pattern;
    private readonly MountPlane _plane;
    private readonly ShimOptions _options;
    private readonly Stack[] _stacks;
    private readonly int[]? _left;
    private readonly double _tanAcross;
    private readonly double _tanAlong;
    private readonly int[] _order;
    private readonly Stack[] _chosen;
    private readonly double[] _heights;
    private readonly double[]?[] _fromFirst;
    private Stack[][] _choices = [];
    private double _least = double.PositiveInfinity;
    private Found? _best;
    private bool _collecting;

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
        _stacks = Stack.AllOf(kit, left);
        _order = _plane.SpanningFirst;
        _chosen = new Stack[pattern.Bolts.Count];
        _heights = new double[pattern.Bolts.Count];
        _fromFirst = [.. _order.Select(_plane.WeightsFromSpanning)];
    }

    internal ShimStacks Best()
    {
        int n = _order.Length;
        if (_stacks.Length <= ExactStacks)
        {
            _choices = [.. Enumerable.Repeat(_stacks, n)];
            Pass();
        }
        else
        {
            foreach (Stack offset in _stacks)
            {
                _choices = NearIdeal(offset.HeightMm);
                Search(0);
            }

            _collecting = true;
            foreach (Stack offset in _stacks)
            {
                _choices = NearIdeal(offset.HeightMm);
                Search(0);
            }
        }

        return ToStacks(_best!);
    }

    private void Pass()
    {
        Search(0);
        _collecting = true;
        Search(0);
    }

    private Stack[][] NearIdeal(double offsetMm)
    {
        double[] ideal = [.. _pattern.Bolts.Select(b => _tanAcross * b.AcrossMm + _tanAlong * b.AlongMm)];
        double lowest = ideal.Min();
        return [.. _order.Select(b => _stacks.OrderBy(s => Math.Abs(s.HeightMm - (ideal[b] - lowest + offsetMm))).Take(3).Append(_stacks[0]).ToArray())];
    }

    private void Search(int depth)
    {
        if (depth == _order.Length)
        {
            Weigh();
            return;
        }

        int bolt = _order[depth];
        double middle = 0, reach = double.PositiveInfinity;
        if (_fromFirst[depth] is double[] weights)
        {
            reach = _options.RockingLimitMm + 1e-9;
            for (int i = 0; i < weights.Length; i++)
            {
                middle += weights[i] * _heights[_order[i]];
                reach += Math.Abs(weights[i]) * _options.RockingLimitMm;
            }
        }

        foreach (Stack stack in _choices[depth])
        {
            if (Math.Abs(stack.HeightMm - middle) <= reach && Take(stack))
            {
                (_chosen[bolt], _heights[bolt]) = (stack, stack.HeightMm);
                Search(depth + 1);
                GiveBack(stack);
            }
        }
    }

    private bool Take(Stack stack)
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

    private void GiveBack(Stack stack)
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

        double leftAcross = double.RadiansToDegrees(Math.Atan(_tanAcross - across)), leftAlong = double.RadiansToDegrees(Math.Atan(_tanAlong - along));
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

    private ShimStacks ToStacks(Found f) => new(
        [.. _pattern.Bolts.Select((b, i) => new BoltShims(b, f.Chosen[i].PiecesMm))],
        f.SlopeAcross, f.SlopeAlong, f.LeftAcrossDeg, f.LeftAlongDeg, f.RockingMm);

    private sealed record Found(
        Stack[] Chosen, double SlopeAcross, double SlopeAlong, double LeftAcrossDeg, double LeftAlongDeg, double RockingMm, double LeftDeg)
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

    /// <summary>One way to stack pieces under a bolt.</summary>
    internal sealed record Stack(IReadOnlyList<double> PiecesMm, int[] Counts, double HeightMm)
    {
        /// <summary>Every stack the kit allows, none first, by height; where the kit is endless only the fewest pieces for a height.</summary>
        internal static Stack[] AllOf(ShimKit kit, int[]? left)
        {
            var all = new List<Stack>();
            Add(0, []);
            IEnumerable<Stack> kept = left is not null ? all : all.GroupBy(s => Math.Round(s.HeightMm, 6)).Select(g => g.MinBy(s => s.PiecesMm.Count)!);
            return [.. kept.OrderBy(s => s.HeightMm).ThenBy(s => s.PiecesMm.Count)];

            void Add(int from, List<int> taken)
            {
                int[] counts = new int[kit.ThicknessesMm.Count];
                taken.ForEach(i => counts[i]++);
                all.Add(new([.. taken.Select(i => kit.ThicknessesMm[i]).OrderDescending()], counts, taken.Sum(i => kit.ThicknessesMm[i])));
                for (int i = from; i < kit.ThicknessesMm.Count && taken.Count < kit.MaxStack; i++)
                {
                    if (left is null || counts[i] < left[i])
                    {
                        Add(i, [.. taken, i]);
                    }
                }
            }
        }
    }
}
