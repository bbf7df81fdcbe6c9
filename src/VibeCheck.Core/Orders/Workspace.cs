using System.Collections.Concurrent;
using System.Numerics;

namespace VibeCheck.Core.Orders;

/// <summary>Memory for one value a node, used again by one stretch after the other: touching new memory costs more than the sums that go into it.
/// Several threads may take and give.</summary>
internal sealed class Workspace
{
    private readonly ConcurrentBag<Complex[]> _free = [];

    /// <summary>Planes of so many nodes. What stands in them is left over from anything: write before reading.</summary>
    internal Complex[][] Take(int planes, int nodes)
    {
        var taken = new Complex[planes][];
        for (int p = 0; p < planes; p++)
        {
            taken[p] = _free.TryTake(out Complex[]? one) && one.Length == nodes ? one : GC.AllocateUninitializedArray<Complex>(nodes);
        }

        return taken;
    }

    /// <summary>Takes back planes that nobody will look at any more.</summary>
    internal void GiveBack(Complex[][] planes)
    {
        foreach (Complex[] plane in planes)
        {
            _free.Add(plane);
        }
    }
}
